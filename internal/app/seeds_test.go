package app

import (
	"bytes"
	"encoding/base64"
	"encoding/binary"
	"encoding/hex"
	"fmt"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"unicode/utf16"

	"voltwright/internal/outgoing/phototest"
)

// A seed is something that must not leave a journal, hidden in one of its files.
type seed struct {
	file  string           // in the journal, where it is hidden
	word  string           // a serial number, a name or a path; "" for a position
	place *phototest.Angle // the latitude of a position
	told  string           // what the list of what goes online says was taken, or the rule by which the file stays
}

func (s seed) String() string {
	if s.place == nil {
		return s.word
	}
	return s.degrees(5)
}

// degrees is the latitude with so many decimals, cut off.
func (s seed) degrees(places int) string {
	a := s.place
	part := (uint64(a.Minutes)*6000 + uint64(a.Hundredths)) * 1_000_000_000 / 360_000
	return fmt.Sprintf("%d.%s", a.Degrees, fmt.Sprintf("%09d", part)[:places])
}

// forms are the seed in every encoding in which it is looked for.
func (s seed) forms() map[string][]byte {
	out := map[string][]byte{}
	var words []string
	if s.place == nil {
		words = []string{s.word}
		if slash := strings.ReplaceAll(s.word, `\`, "/"); slash != s.word {
			words = append(words, slash, strings.ReplaceAll(s.word, `\`, `\\`))
		}
	} else {
		a := s.place
		seconds := float64(a.Hundredths) / 100
		words = []string{s.degrees(4), strings.Replace(s.degrees(4), ".", ",", 1), fmt.Sprintf("%d° %d′", a.Degrees, a.Minutes), fmt.Sprintf("%d°%02d'", a.Degrees, a.Minutes),
			fmt.Sprintf("%d deg %d' %.2f", a.Degrees, a.Minutes, seconds), fmt.Sprintf("%02d%02d.%02d", a.Degrees, a.Minutes, int(seconds/60*100))}
		out["rationals, low byte first"] = a.Rational(binary.LittleEndian)
		out["rationals, high byte first"] = a.Rational(binary.BigEndian)
	}
	for _, w := range words {
		out["text "+w] = []byte(w)
		low, high := []byte{}, []byte{}
		for _, u := range utf16.Encode([]rune(w)) {
			low, high = binary.LittleEndian.AppendUint16(low, u), binary.BigEndian.AppendUint16(high, u)
		}
		out["UTF-16LE "+w], out["UTF-16BE "+w] = low, high
		out["hex "+w], out["HEX "+w] = []byte(hex.EncodeToString([]byte(w))), []byte(strings.ToUpper(hex.EncodeToString([]byte(w))))
		out["percent "+w] = []byte(url.QueryEscape(w))
		for shift := range 3 {
			text := base64.StdEncoding.EncodeToString(append(make([]byte, shift), w...))
			from, to := (shift*8+5)/6, (shift+len(w))*8/6
			out[fmt.Sprintf("base64 %d %s", shift, w)] = []byte(text[from:to])
		}
	}
	return out
}

// seek looks for each seed in every file of a folder, in its bytes and in its name, and in what exiftool reads of it.
func seek(t *testing.T, dir string, seeds []seed) map[string][]string {
	t.Helper()
	found := map[string][]string{}
	look := func(where string, data []byte) {
		for _, s := range seeds {
			for how, form := range s.forms() {
				if bytes.Contains(data, form) {
					found[s.String()] = append(found[s.String()], where+" ("+how+")")
					break
				}
			}
		}
	}
	err := filepath.WalkDir(dir, func(name string, d os.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		data, err := os.ReadFile(name)
		look(name, append(data, filepath.Base(name)...))
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	tool, err := exec.LookPath("exiftool")
	if err != nil {
		t.Skip("exiftool is not installed (Debian: libimage-exiftool-perl)")
	}
	for _, args := range [][]string{{"-a", "-u", "-U", "-ee", "-G1", "-n", "-r", dir}, {"-a", "-u", "-ee", "-G1", "-r", dir}} {
		said, err := exec.Command(tool, args...).Output()
		if err != nil && len(said) == 0 {
			t.Fatal(err)
		}
		look("exiftool "+strings.Join(args[:3], " "), said)
		for _, line := range strings.Split(string(said), "\n") {
			if strings.Contains(line, "GPS ") {
				found["a position that exiftool reads"] = append(found["a position that exiftool reads"], line)
			}
		}
	}
	return found
}
