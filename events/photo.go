package events

import (
	"encoding/hex"
	"slices"
	"strings"
	"time"
)

// Photo is a picture taken at a stop, kept under the SHA-256 of its bytes (see BlobStore).
type Photo struct {
	SHA256 string `json:"sha256"`
	Shows  string `json:"shows,omitempty"` // what it shows: serial plate, gauge, as found
	Words  string `json:"words,omitempty"`
	Job    JobID  `json:"job,omitempty"`
	Crew   CrewID `json:"crew,omitempty"`
	Day    Date   `json:"day,omitzero"`
}

// PhotoKept is a photo and when it was taken.
type PhotoKept struct {
	Event EventID   `json:"event"`
	At    time.Time `json:"at"`
	Photo
}

// The events of photos.
type (
	// AssemblyPhoto is filed under the assembly that it shows.
	AssemblyPhoto struct{ Photo }
	// SitePhoto is filed under the site: a door, a vault, a hazard.
	SitePhoto struct{ Photo }
)

func declarePhotos(v *vocabulary) {
	declare[AssemblyPhoto](v, KindAssembly, "photo-taken")
	declare[SitePhoto](v, KindSite, "photo-taken")
}

// TakePhoto records a photo of an assembly, or of the site where no assembly is named. Whoever calls it has the picture.
type TakePhoto struct {
	Site     SiteID
	Assembly AssemblyID
	Photo
}

func decidePhoto(b *Book, do TakePhoto) ([]Draft, error) {
	if err := checkSHA256(do.SHA256); err != nil {
		return nil, err
	}
	same := func(k PhotoKept) bool { return k.Photo == do.Photo }
	if do.Assembly == "" {
		if s := b.Sites[do.Site]; s != nil && slices.ContainsFunc(s.Photos, same) {
			return nil, nil
		}
		return onSite(b, do.Site, SitePhoto{do.Photo})
	}
	a := b.Assemblies[do.Assembly]
	switch {
	case a == nil:
		return nil, refuse("no assembly %q", do.Assembly)
	case slices.ContainsFunc(a.Photos, same):
		return nil, nil
	}
	return []Draft{{a.entity(), AssemblyPhoto{do.Photo}}}, nil
}

// checkSHA256 refuses what names no picture.
func checkSHA256(text string) error {
	sum, err := hex.DecodeString(text)
	if err != nil || len(sum) != len(Hash{}) || strings.ToLower(text) != text {
		return refuse("send the picture first: its SHA-256 is 64 hexadecimal digits")
	}
	return nil
}
