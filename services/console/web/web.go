// Package web holds the built pages: the office pages and the crew's page, made by Vite from the sources beside this file.
package web

import (
	"embed"
	"io/fs"
)

//go:embed all:dist
var built embed.FS

// Pages are the built pages; only a placeholder before the first build.
func Pages() (fs.FS, error) { return fs.Sub(built, "dist") }
