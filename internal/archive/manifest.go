package archive

import (
	"bytes"
	"crypto/md5"
	"crypto/sha1"
	"crypto/sha256"
	"crypto/sha512"
	"encoding/hex"
	"fmt"
	"hash"
	"io/fs"
	"path"
	"strings"
	"unicode/utf8"

	"voltwright/internal/finding"
)

// algorithms are the checksums that a check knows, by their names in the names of manifests. RFC 8493, section 2.4, asks
// for SHA-512 and SHA-256 in new bags; MD5 and SHA-1 stand here for bags that others made.
var algorithms = map[string]func() hash.Hash{
	"md5": md5.New, "sha1": sha1.New, "sha224": sha256.New224, "sha256": sha256.New, "sha384": sha512.New384, "sha512": sha512.New,
}

// written are the checksums of the bags that this package writes.
var written = []string{"sha256", "sha512"}

const (
	declarationFile = "bagit.txt"
	infoFile        = "bag-info.txt"
	fetchFile       = "fetch.txt"
	dataFolder      = "data"
)

// entry is one line of a manifest.
type entry struct {
	sum  []byte
	path string
	at   finding.Span
}

// manifestName takes the algorithm from the name of a manifest: "sha512" from "manifest-sha512.txt", and tags is true
// for "tagmanifest-sha512.txt".
func manifestName(name string) (algorithm string, tags, ok bool) {
	rest, ok := strings.CutSuffix(name, ".txt")
	if !ok {
		return "", false, false
	}
	if a, ok := strings.CutPrefix(rest, "tagmanifest-"); ok {
		return a, true, a != ""
	}
	a, ok := strings.CutPrefix(rest, "manifest-")
	return a, false, ok && a != ""
}

// parseManifest reads the lines of a manifest: a checksum of size bytes in hexadecimal digits, white space, a path.
// With tags it is a tag manifest. A path that does not stay where it belongs gives a finding and no entry.
func parseManifest(name string, text []byte, size int, tags bool) ([]entry, []finding.Finding) {
	source := finding.NewSource(name, text)
	var found []finding.Finding
	malformed := func(at finding.Span, format string, args ...any) {
		found = append(found, finding.Finding{Rule: ruleManifest, Level: finding.Error, Span: at, Text: fmt.Sprintf(format, args...)})
	}
	if !utf8.Valid(text) {
		malformed(finding.Span{Source: source}, "the manifest is not UTF-8")
		return nil, found
	}
	var entries []entry
	seen := map[string]bool{}
	for start, line := range lines(text) {
		at := source.At(int64(start), len(line))
		sum, rest, ok := bytes.Cut(line, []byte(" "))
		if tab := bytes.IndexByte(line, '\t'); tab >= 0 && (!ok || tab < len(sum)) {
			sum, rest, ok = line[:tab], line[tab+1:], true
		}
		digest, err := hex.DecodeString(string(sum))
		switch {
		case !ok || err != nil:
			malformed(at, "the line is no checksum in hexadecimal digits followed by a path")
			continue
		case len(digest) != size:
			malformed(at, "the checksum has %d bytes where %d belong", len(digest), size)
			continue
		}
		p := decodePath(string(bytes.TrimLeft(rest, " \t")))
		if starred := strings.TrimPrefix(p, "*"); !tags && strings.HasPrefix(starred, dataFolder+"/") {
			p = starred // the mark of a binary file, as checksum tools write it
		}
		if why := misplaced(p, tags); why != "" {
			malformed(at, "the path %q %s", p, why)
			continue
		}
		if seen[p] {
			malformed(at, "%q is listed twice", p)
			continue
		}
		seen[p] = true
		entries = append(entries, entry{digest, p, at})
	}
	return entries, found
}

// misplaced says why a path may not stand in a manifest, "" if it may.
func misplaced(p string, tags bool) string {
	_, _, manifest := manifestName(p)
	switch {
	case p == "":
		return "is empty"
	case !fs.ValidPath(p) || p == "." || strings.HasPrefix(p, "~"):
		return "does not stay inside the bag, or is not written plainly"
	case !tags && !strings.HasPrefix(p, dataFolder+"/"):
		return "is not under data/"
	case tags && (p == dataFolder || strings.HasPrefix(p, dataFolder+"/")):
		return "is under data/, which a tag manifest does not list"
	case tags && manifest && strings.HasPrefix(p, "tagmanifest-"):
		return "is a tag manifest, which none lists"
	}
	return ""
}

// lines gives the lines of a text with their offsets; they end by a line feed, a carriage return or both.
func lines(text []byte) func(yield func(int, []byte) bool) {
	return func(yield func(int, []byte) bool) {
		for start := 0; start < len(text); {
			n := bytes.IndexAny(text[start:], "\r\n")
			if n < 0 {
				yield(start, text[start:])
				return
			}
			if !yield(start, text[start:start+n]) {
				return
			}
			if n += start; text[n] == '\r' && n+1 < len(text) && text[n+1] == '\n' {
				n++
			}
			start = n + 1
		}
	}
}

// encodePath writes a path for a manifest. RFC 8493, section 2.1.3: the ends of lines and the percent sign itself are
// percent-encoded, and nothing else is.
func encodePath(p string) string {
	return strings.NewReplacer("%", "%25", "\n", "%0A", "\r", "%0D").Replace(p)
}

func decodePath(p string) string {
	return strings.NewReplacer("%25", "%", "%0A", "\n", "%0a", "\n", "%0D", "\r", "%0d", "\r").Replace(p)
}

// line is an entry as this package writes it, the way that `sha512sum` does.
func line(sum []byte, p string) string {
	return hex.EncodeToString(sum) + "  " + encodePath(path.Clean(p)) + "\n"
}
