package sheet

import (
	"bytes"
	"fmt"
	"strings"
	"unicode/utf8"

	"golang.org/x/text/encoding"
	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode"
)

// decode turns the bytes of a text file into UTF-8 without a byte-order mark, lines ended by LF.
// Without a mark, text that is not valid UTF-8 is taken as Windows-1252, in which every byte means
// something; UTF-16 without a mark is recognised by its zero bytes.
func decode(data []byte) (text []byte, name string, err error) {
	name, enc := detect(data)
	text = data
	if enc != nil {
		if text, err = enc.NewDecoder().Bytes(data); err != nil {
			return nil, name, fmt.Errorf("reading the text as %s: %w", name, err)
		}
	}
	text = bytes.TrimPrefix(text, []byte("\ufeff"))
	return oneLineEnd(text), name, nil
}

func detect(data []byte) (string, encoding.Encoding) {
	littleEndian := unicode.UTF16(unicode.LittleEndian, unicode.UseBOM)
	bigEndian := unicode.UTF16(unicode.BigEndian, unicode.UseBOM)
	switch {
	case bytes.HasPrefix(data, []byte{0xEF, 0xBB, 0xBF}) && utf8.Valid(data):
		return "UTF-8", nil
	case bytes.HasPrefix(data, []byte{0xFF, 0xFE}):
		return "UTF-16LE", littleEndian
	case bytes.HasPrefix(data, []byte{0xFE, 0xFF}):
		return "UTF-16BE", bigEndian
	case zeroBytes(data, 1):
		return "UTF-16LE", unicode.UTF16(unicode.LittleEndian, unicode.IgnoreBOM)
	case zeroBytes(data, 0):
		return "UTF-16BE", unicode.UTF16(unicode.BigEndian, unicode.IgnoreBOM)
	case utf8.Valid(data):
		return "UTF-8", nil
	}
	return "Windows-1252", charmap.Windows1252
}

// zeroBytes says that most of the bytes at even (0) or odd (1) places of the beginning are zero.
func zeroBytes(data []byte, at int) bool {
	head := data[:min(len(data), 400)]
	zeros, pairs := 0, len(head)/2
	for i := at; i < pairs*2; i += 2 {
		if head[i] == 0 {
			zeros++
		}
	}
	return pairs >= 4 && zeros*10 > pairs*7
}

// oneLineEnd turns CR LF and lone CR into LF.
func oneLineEnd(text []byte) []byte {
	if !bytes.ContainsRune(text, '\r') {
		return text
	}
	return []byte(strings.NewReplacer("\r\n", "\n", "\r", "\n").Replace(string(text)))
}
