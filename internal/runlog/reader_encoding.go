package runlog

import (
	"bufio"
	"bytes"
	"io"

	"golang.org/x/text/encoding/unicode"
	"golang.org/x/text/transform"
)

// utf8Of gives a text in UTF-8 and says what it was where it was something else: UTF-16 with a byte order mark, or
// without one where every other byte of its beginning is zero.
func utf8Of(r io.Reader) (io.Reader, string) {
	const enough = 512
	b := bufio.NewReaderSize(r, 4096)
	first, _ := b.Peek(enough)
	order, name := unicode.LittleEndian, "UTF-16, low byte first"
	switch {
	case bytes.HasPrefix(first, []byte{0xff, 0xfe}):
	case bytes.HasPrefix(first, []byte{0xfe, 0xff}):
		order, name = unicode.BigEndian, "UTF-16, high byte first"
	default:
		var zeros [2]int
		for i, c := range first {
			if c == 0 {
				zeros[i%2]++
			}
		}
		half := len(first) / 2
		switch {
		case half < 4:
			return b, ""
		case zeros[1] > half*3/4 && zeros[0] < half/20+1:
		case zeros[0] > half*3/4 && zeros[1] < half/20+1:
			order, name = unicode.BigEndian, "UTF-16, high byte first"
		default:
			return b, ""
		}
	}
	return transform.NewReader(b, unicode.UTF16(order, unicode.IgnoreBOM).NewDecoder()), name
}
