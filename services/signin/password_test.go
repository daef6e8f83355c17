package signin

import (
	"strings"
	"testing"
)

// Costs: RFC 9106, section 4, second recommended option, which is above the least that the OWASP "Password Storage" cheat
// sheet asks for (argon2id with 19 MiB, 2 passes, 1 lane).
func TestDefaultCosts(t *testing.T) {
	p := DefaultParams()
	if p.MemoryKiB != 1<<16 || p.Passes != 3 || p.Lanes != 4 || saltBytes != 16 || hashBytes != 32 {
		t.Errorf("%+v, salt %d, hash %d", p, saltBytes, hashBytes)
	}
	if text := p.hash("four plain words suffice"); !strings.HasPrefix(text, "$argon2id$v=19$m=65536,t=3,p=4$") {
		t.Error(text)
	}
}

// NIST SP 800-63B-4, section 3.1.1.2: at least 15 characters for a single factor, at least 64 allowed, no rule of
// composition, Unicode counted by code points, and a list of those that are tried first.
func TestCheckPassword(t *testing.T) {
	for _, c := range []struct {
		name, password string
		about          []string
		refused        string
	}{
		{"four words", "four plain words suffice", nil, ""},
		{"14 characters", "abcdefgh ijklm", nil, "at least 15"},
		{"15 small letters", "wolkenkuckucks.", nil, ""},
		{"15 code points of three bytes", "水道水道逆流防止器試験日本語の人", nil, ""},
		{"64 characters and more", strings.Repeat("river stone lamp ", 8), nil, ""},
		{"300 characters", strings.Repeat("river stone la", 22), nil, "more than 256"},
		{"the same again and again", "abcabcabcabcabcabc", nil, "tried first"},
		{"one letter", strings.Repeat("a", 20), nil, "tried first"},
		{"a row of the keyboard", "qwertyuiopasdfgh", nil, "tried first"},
		{"digits in a row", "1234567890123456", nil, "tried first"},
		{"hardly more than the name to sign in with", "marguerite-12345", []string{"marguerite"}, "hardly more"},
		{"not text", "four plain words\xff suffice", nil, "not text"},
	} {
		t.Run(c.name, func(t *testing.T) {
			err := CheckPassword(c.password, c.about...)
			if c.refused == "" && err != nil || c.refused != "" && (err == nil || !strings.Contains(err.Error(), c.refused)) {
				t.Errorf("%v, want %q", err, c.refused)
			}
		})
	}
	for _, word := range strings.Fields(commonText) {
		if CheckPassword(word) == nil {
			t.Errorf("%q is in the list of common ones and is taken", word)
		}
	}
}

// The same word typed on two keyboards, composed and decomposed: RFC 8265, section 4.2.2 (NFC).
func TestComposedAndDecomposedAreTheSame(t *testing.T) {
	s, err := readHash(Params{64, 1, 1}.hash("caf\u00e9 caf\u00e9 caf\u00e9 caf\u00e9"))
	if err != nil {
		t.Fatal(err)
	}
	if !s.is("cafe\u0301 cafe\u0301 cafe\u0301 cafe\u0301") {
		t.Error("they differ")
	}
}

func FuzzReadHash(f *testing.F) {
	f.Add(Params{64, 1, 1}.hash("four plain words suffice"))
	for _, text := range []string{"", "$", "$argon2id$v=19$m=65536,t=3,p=4$c2FsdHNhbHQ$", "$argon2id$v=19$m=4294967295,t=1,p=1$c2FsdHNhbHQ$aGFzaGhhc2hoYXNoaGFzaA",
		"$argon2i$v=19$m=64,t=1,p=1$c2FsdHNhbHQ$aGFzaGhhc2hoYXNoaGFzaA", "$argon2id$v=16$m=64,t=1,p=1$c2FsdHNhbHQ$aGFzaGhhc2hoYXNoaGFzaA", "$argon2id$v=19$m=64,t=0,p=0$c2FsdHNhbHQ$aGFzaGhhc2hoYXNoaGFzaA"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		s, err := readHash(text)
		if err == nil && (s.MemoryKiB > 1<<20 || s.Passes < 1 || s.Passes > 100 || s.Lanes < 1 || len(s.salt) < 8 || len(s.key) < 16 || len(s.key) > 64) {
			t.Errorf("%q is taken with %+v", text, s.Params)
		}
	})
}
