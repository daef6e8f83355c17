package papers

import (
	"bytes"
	"compress/zlib"
	"encoding/binary"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"unicode/utf16"
)

// textOf reads the text of a PDF back, line by line: always by a small reader of our own and, where it is installed, by
// poppler's pdftotext, whose words must all be among ours and ours among its.
func textOf(t *testing.T, file []byte) string {
	t.Helper()
	ours := shownText(t, file)
	program, err := exec.LookPath("pdftotext")
	if err != nil {
		t.Log("pdftotext is not installed: the text was read by our own reader only")
		return ours
	}
	path := filepath.Join(t.TempDir(), "paper.pdf")
	if err := os.WriteFile(path, file, 0o600); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command(program, "-enc", "UTF-8", "-raw", path, "-").CombinedOutput()
	if err != nil {
		t.Fatalf("pdftotext: %v: %s", err, out)
	}
	seen := strings.ReplaceAll(string(out), "\f", " ")
	for _, pair := range []struct{ name, has, in string }{{"our reader", ours, seen}, {"pdftotext", seen, ours}} {
		in := squeezed(pair.in)
		for _, word := range strings.Fields(pair.has) {
			if !strings.Contains(in, word) {
				t.Errorf("%s reads %q, which the other does not", pair.name, word)
			}
		}
	}
	return ours
}

// squeezed drops all spaces, for a reader may part or join words.
func squeezed(text string) string { return strings.Join(strings.Fields(text), "") }

// shownText finds every string that a content stream shows. The strings are UTF-16, big end first (ISO 32000-1, 9.4.3: the
// Tj operator; the fonts here are indexed by character).
func shownText(t *testing.T, file []byte) string {
	t.Helper()
	var lines []string
	for rest := file; ; {
		start := bytes.Index(rest, []byte("stream\n"))
		if start < 0 {
			break
		}
		rest = rest[start+len("stream\n"):]
		end := bytes.Index(rest, []byte("\nendstream"))
		if end < 0 {
			t.Fatal("a stream does not end")
		}
		content := rest[:end]
		rest = rest[end+len("\nendstream"):]
		if inflate, err := zlib.NewReader(bytes.NewReader(content)); err == nil {
			if plain, err := io.ReadAll(inflate); err == nil {
				content = plain
			}
		}
		if bytes.Contains(content, []byte("BT ")) {
			lines = append(lines, shownStrings(content)...)
		}
	}
	return strings.Join(lines, "\n")
}

func shownStrings(content []byte) []string {
	var lines []string
	for i := 0; i < len(content); i++ {
		if content[i] != '(' {
			continue
		}
		var raw []byte
		for i++; i < len(content) && content[i] != ')'; i++ {
			if content[i] == '\\' {
				i++
				if content[i] == 'r' {
					raw = append(raw, '\r')
					continue
				}
			}
			raw = append(raw, content[i])
		}
		if !bytes.HasPrefix(content[min(i+1, len(content)):], []byte(" Tj")) || len(raw)%2 != 0 {
			continue
		}
		units := make([]uint16, len(raw)/2)
		for k := range units {
			units[k] = binary.BigEndian.Uint16(raw[2*k:])
		}
		lines = append(lines, string(utf16.Decode(units)))
	}
	return lines
}

// pages counts the pages of a PDF.
func pages(file []byte) int { return bytes.Count(file, []byte("/Type /Page\n")) }
