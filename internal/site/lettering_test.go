package site

import (
	"io/fs"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"voltwright/themes"
)

// span is what a unicode-range names: the code points from the first to the last.
type span struct{ from, to rune }

var (
	faceRule  = regexp.MustCompile(`@font-face \{[^}]*\}`)
	faceFile  = regexp.MustCompile(`fonts/([a-z0-9-]+)\.woff2`)
	faceRange = regexp.MustCompile(`unicode-range: ([^;]+);`)
)

// faces are the files of the lettering with what each is asked for.
func faces(t *testing.T) map[string][]span {
	t.Helper()
	css, err := fs.ReadFile(themes.FS, "workshop/sheet.css")
	if err != nil {
		t.Fatal(err)
	}
	out := map[string][]span{}
	for _, rule := range faceRule.FindAllString(string(css), -1) {
		file, listed := faceFile.FindStringSubmatch(rule), faceRange.FindStringSubmatch(rule)
		if file == nil || listed == nil {
			t.Fatalf("%s names no file or no range", rule)
		}
		for one := range strings.SplitSeq(listed[1], ", ") {
			from, to, wide := strings.Cut(strings.TrimPrefix(one, "U+"), "-")
			if !wide {
				to = from
			}
			a, errA := strconv.ParseInt(from, 16, 32)
			b, errB := strconv.ParseInt(to, 16, 32)
			if errA != nil || errB != nil {
				t.Fatalf("%s: %q is no range", file[1], one)
			}
			out[file[1]] = append(out[file[1]], span{rune(a), rune(b)})
		}
	}
	return out
}

// covers tells whether a file is asked for a sign, by the spans that it is asked for.
func covers(spans []span, r rune) bool {
	return slices.ContainsFunc(spans, func(s span) bool { return s.from <= r && r <= s.to })
}

// Each cut of the lettering is two files: every letter of Latin is asked of one of them and no sign of both, and what English and German
// are written with, figures and the signs of the trade are all of the first, so that their pages load no second.
func TestLetteringIsAskedOfOneFile(t *testing.T) {
	all := faces(t)
	const often = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789äöüßÄÖÜ.,:;!?()[]/%+-−±×·=≤≥≈√°µμΩΔ²³§£€†‡¶–—‘’“”„‚…←→↑↓↔\u00a0\u2009"
	cuts := 0
	for name, first := range all {
		if strings.HasSuffix(name, "-more") {
			continue
		}
		cuts++
		more := all[name+"-more"]
		if len(more) == 0 {
			t.Errorf("%s has no second file", name)
		}
		for r := rune(0x20); r < 0x2300; r++ {
			if covers(first, r) && covers(more, r) {
				t.Errorf("%s: %q is asked of both files", name, r)
			}
			if latin := r < 0x7F || r >= 0xA0 && r < 0x180; latin && !covers(first, r) && !covers(more, r) {
				t.Errorf("%s: %q is asked of neither file", name, r)
			}
		}
		for _, r := range often {
			if !covers(first, r) {
				t.Errorf("%s: %q is not in the first file", name, r)
			}
		}
	}
	if cuts != 4 {
		t.Errorf("%d cuts", cuts)
	}
}

// A style sheet goes on the site without its comments, and with all that it says.
func TestStylesGoWithoutTheirComments(t *testing.T) {
	p, _ := build(t, smallJournal(t))
	for _, name := range []string{"sheet.css", "charts.css", "drawing.css"} {
		ours, err := fs.ReadFile(themes.FS, "workshop/"+name)
		if err != nil {
			t.Fatal(err)
		}
		there, err := p.Bytes("assets/" + name)
		if err != nil {
			t.Fatal(err)
		}
		if strings.Contains(string(there), "/*") || len(there) >= len(ours) {
			t.Errorf("%s has its comments", name)
		}
		for _, sign := range []string{"{", "}", ";", `"`} {
			said := strings.Count(regexp.MustCompile(`/\*(?s:.*?)\*/`).ReplaceAllString(string(ours), ""), sign)
			if n := strings.Count(string(there), sign); n != said {
				t.Errorf("%s has %d %s, and ours %d", name, n, sign, said)
			}
		}
	}
}
