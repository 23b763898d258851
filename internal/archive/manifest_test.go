package archive

import (
	"bytes"
	"encoding/hex"
	"io/fs"
	"strings"
	"testing"
)

const zeros = "0000000000000000000000000000000000000000000000000000000000000000" // a SHA-256

// What RFC 8493, sections 2.1.3 and 2.2.1, says of a line.
func TestParseManifest(t *testing.T) {
	for _, tt := range []struct {
		name, text string
		tags       bool
		want       string // paths
		found      int
	}{
		{"two spaces", zeros + "  data/a.txt\n", false, "data/a.txt", 0},
		{"one space", zeros + " data/a.txt\n", false, "data/a.txt", 0},
		{"a tab", zeros + "\tdata/a.txt\n", false, "data/a.txt", 0},
		{"white space inside the path", zeros + "  data/a b .txt \n", false, "data/a b .txt ", 0},
		{"capitals", strings.ToUpper(strings.ReplaceAll(zeros, "00", "ab")) + "  data/a.txt\n", false, "data/a.txt", 0},
		{"CR LF", zeros + "  data/a.txt\r\n" + zeros + "  data/b.txt\r\n", false, "data/a.txt data/b.txt", 0},
		{"CR", zeros + "  data/a.txt\r" + zeros + "  data/b.txt\r", false, "data/a.txt data/b.txt", 0},
		{"no end of line", zeros + "  data/a.txt", false, "data/a.txt", 0},
		{"encoded", zeros + "  data/100%25%0A%0d.txt\n", false, "data/100%\n\r.txt", 0},
		{"a percent sign as it is", zeros + "  data/100%.txt\n", false, "data/100%.txt", 0},
		{"binary mark", zeros + " *data/a.txt\n", false, "data/a.txt", 0},
		{"nothing", "", false, "", 0},
		{"an empty line", "\n" + zeros + "  data/a.txt\n", false, "data/a.txt", 1},
		{"no path", zeros + "\n", false, "", 1},
		{"no path after spaces", zeros + "  \n", false, "", 1},
		{"no checksum", "data/a.txt\n", false, "", 1},
		{"a short checksum", zeros[2:] + "  data/a.txt\n", false, "", 1},
		{"no hexadecimal digit", "g" + zeros[1:] + "  data/a.txt\n", false, "", 1},
		{"twice", zeros + "  data/a.txt\n" + zeros + "  data/a.txt\n", false, "data/a.txt", 1},
		{"out of the bag by dots", zeros + "  data/../../a.txt\n", false, "", 1},
		{"out of data by dots", zeros + "  data/../bagit.txt\n", false, "", 1},
		{"absolute", zeros + "  /etc/passwd\n", false, "", 1},
		{"a home folder", zeros + "  ~/a.txt\n", false, "", 1},
		{"a tag file in a payload manifest", zeros + "  bagit.txt\n", false, "", 1},
		{"beside data", zeros + "  database/a.txt\n", false, "", 1},
		{"a dot first", zeros + "  ./data/a.txt\n", false, "", 1},
		{"byte order mark", "\ufeff" + zeros + "  data/a.txt\n", false, "", 1},
		{"no UTF-8", zeros + "  data/\xff.txt\n", false, "", 1},
		{"tag files", zeros + "  bagit.txt\n" + zeros + "  meta/x.txt\n", true, "bagit.txt meta/x.txt", 0},
		{"payload in a tag manifest", zeros + "  data/a.txt\n", true, "", 1},
		{"a tag manifest in one", zeros + "  tagmanifest-sha256.txt\n", true, "", 1},
		{"a tag file outside", zeros + "  ../a.txt\n", true, "", 1},
	} {
		t.Run(tt.name, func(t *testing.T) {
			entries, found := parseManifest("manifest-sha256.txt", []byte(tt.text), 32, tt.tags)
			var paths []string
			for _, e := range entries {
				paths = append(paths, e.path)
			}
			if got := strings.Join(paths, " "); got != tt.want {
				t.Errorf("paths %q, want %q", got, tt.want)
			}
			if len(found) != tt.found {
				t.Errorf("%d findings, want %d: %v", len(found), tt.found, found)
			}
		})
	}
}

// Whatever a manifest says, a path that comes out of it stays where it belongs, and written again it is the same.
func FuzzManifest(f *testing.F) {
	for _, text := range []string{zeros + "  data/a.txt\n", zeros + " *data/100%25.txt\r\n", zeros + "  data/../../x\r", zeros + "\tbagit.txt\n\n", "x", "\xff"} {
		f.Add([]byte(text), false)
		f.Add([]byte(text), true)
	}
	f.Fuzz(func(t *testing.T, text []byte, tags bool) {
		entries, found := parseManifest("m", text, 32, tags)
		var again strings.Builder
		for _, e := range entries {
			if !fs.ValidPath(e.path) || strings.HasPrefix(e.path, "data/") == tags {
				t.Errorf("the path %q came through", e.path)
			}
			if e.at.Source == nil || e.at.End > int64(len(text)) {
				t.Errorf("%q has no place", e.path)
			}
			again.WriteString(line(e.sum, e.path))
		}
		for _, x := range found {
			if x.Rule != ruleManifest || x.Span.Source == nil {
				t.Errorf("a finding without a place or of another rule: %+v", x)
			}
		}
		second, found := parseManifest("m", []byte(again.String()), 32, tags)
		if len(second) != len(entries) {
			t.Fatalf("%d entries written, %d read: %v", len(entries), len(second), found)
		}
		for i := range second {
			if second[i].path != entries[i].path || !bytes.Equal(second[i].sum, entries[i].sum) {
				t.Errorf("%x %q was read again as %x %q", entries[i].sum, entries[i].path, second[i].sum, second[i].path)
			}
		}
	})
}

func TestLineIsWhatChecksumToolsWrite(t *testing.T) {
	sum, _ := hex.DecodeString(zeros)
	if got, want := line(sum, "data/a b.txt"), zeros+"  data/a b.txt\n"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
}
