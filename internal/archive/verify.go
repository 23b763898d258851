package archive

import (
	"bytes"
	"cmp"
	"errors"
	"fmt"
	"hash"
	"io"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"

	"voltwright/internal/finding"
	"voltwright/internal/progress"
)

// Report is what a check went through.
type Report struct {
	Files      int      // under data/
	Bytes      int64    // under data/
	Algorithms []string // by which the files were checked
}

// maxTag is the largest tag file that is read, in bytes.
const maxTag = 64 << 20

// Verify checks a bag: complete and valid in the sense of RFC 8493, section 3. What is wrong with it is in the findings,
// the paths in them relative to the bag; without an error among them the bag is sound. The error says that the folder
// could not be read. told hears how many of its bytes are checked.
func Verify(dir string, told progress.Report) (Report, []finding.Finding, error) {
	root, err := os.OpenRoot(dir)
	if err != nil {
		return Report{}, nil, err
	}
	defer root.Close()
	c := &check{root: root, files: map[string]bool{}, odd: map[string]bool{}, sums: map[string]map[string][]byte{}, told: told}
	if err := c.walk(); err != nil {
		return Report{}, nil, err
	}
	if c.declaration() {
		c.manifests()
		c.compare()
		c.info()
		c.fetch()
	}
	return c.report, c.found.Sorted(), nil
}

type check struct {
	root   *os.Root
	files  map[string]bool // every file of the bag
	odd    map[string]bool // what is neither a file nor a folder
	sums   map[string]map[string][]byte
	read   []manifest
	report Report
	found  finding.List
	told   progress.Report
	done   func(n int64) // is told of bytes that are checked
}

// manifest is one that could be read.
type manifest struct {
	name, algorithm string
	tags            bool
	entries         []entry
}

func (c *check) add(level finding.Level, rule string, at finding.Span, remedy, format string, args ...any) {
	c.found.Add(finding.Finding{Rule: rule, Level: level, Span: at, Text: fmt.Sprintf(format, args...), Remedy: cmp.Or(remedy, anotherCopy)})
}

// anotherCopy is what to do about a bag that is not as it was made.
const anotherCopy = "take this file from another copy of the bag, or have the bag made again."

func file(name string) finding.Span { return finding.Span{Source: finding.NewSource(name, nil)} }

// walk lists the files. Links are not followed: what a bag holds must be in it.
func (c *check) walk() error {
	return fs.WalkDir(c.root.FS(), ".", func(name string, d fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return err
		case d.Type().IsRegular():
			c.files[name] = true
		case !d.IsDir():
			c.odd[name] = true
			c.add(finding.Error, ruleManifest, file(name), "put the file itself there.", "it is a link or a device, no file")
		}
		return nil
	})
}

var declared = regexp.MustCompile(`^BagIt-Version: ([0-9]+\.[0-9]+)(?:\r\n|\n|\r)Tag-File-Character-Encoding: ([A-Za-z0-9._:-]+)(?:\r\n|\n|\r)?$`)

// declaration reads bagit.txt; false if there is no sense in reading on.
func (c *check) declaration() bool {
	const remedy = "see whether this is the folder of a bag; one made by `voltwright archive` has bagit.txt at its top."
	text, ok := c.tag(declarationFile)
	if !ok {
		c.add(finding.Error, ruleDeclaration, finding.Span{}, remedy, "there is no bagit.txt: the folder is no bag")
		return false
	}
	source := finding.NewSource(declarationFile, text)
	m := declared.FindSubmatch(text)
	switch {
	case m == nil:
		c.add(finding.Error, ruleDeclaration, source.At(0, len(firstLine(text))), "", "bagit.txt does not consist of the two lines `BagIt-Version: 1.0` and `Tag-File-Character-Encoding: UTF-8`")
		return false
	case string(m[1]) != "1.0":
		c.add(finding.Error, ruleDeclaration, source.At(0, len(firstLine(text))), "", "the bag is of version %s; only version 1.0 can be checked", m[1])
		return false
	case !strings.EqualFold(string(m[2]), "UTF-8"):
		c.add(finding.Error, ruleDeclaration, source.At(int64(bytes.Index(text, m[2])), len(m[2])), "", "the tag files are written in %s; only UTF-8 can be checked", m[2])
		return false
	}
	if info, err := c.root.Lstat(dataFolder); err != nil || !info.IsDir() {
		c.add(finding.Error, ruleDeclaration, finding.Span{}, remedy, "there is no folder data")
		return false
	}
	return true
}

// tag reads a file beside data/; false if there is none, which is a finding unless it is simply absent.
func (c *check) tag(name string) ([]byte, bool) {
	if !c.files[name] {
		return nil, false
	}
	f, err := c.root.Open(filepath.FromSlash(name))
	if err != nil {
		c.unreadable(name, err)
		return nil, false
	}
	text, err := io.ReadAll(io.LimitReader(f, maxTag+1))
	if err = errors.Join(err, f.Close()); err == nil && len(text) > maxTag {
		err = fmt.Errorf("it is larger than %d MiB", maxTag>>20)
	}
	if err != nil {
		c.unreadable(name, err)
		return nil, false
	}
	return text, true
}

func (c *check) unreadable(name string, err error) {
	c.add(finding.Error, ruleManifest, file(name), "", "it cannot be read: %v", err)
}

// manifests reads the manifests and holds those of a kind against each other.
func (c *check) manifests() {
	payload := 0
	for _, name := range slices.Sorted(maps.Keys(c.files)) {
		algorithm, tags, ok := manifestName(name)
		if !ok || strings.Contains(name, "/") {
			continue
		}
		text, ok := c.tag(name)
		if !ok {
			continue
		}
		make, known := algorithms[strings.ToLower(algorithm)]
		if !known {
			c.add(finding.Warning, ruleDeclaration, file(name), "", "the checksums %q are not known here; this manifest is not judged", algorithm)
			continue
		}
		entries, found := parseManifest(name, text, make().Size(), tags)
		for _, f := range found {
			f.Remedy = cmp.Or(f.Remedy, anotherCopy)
			c.found.Add(f)
		}
		c.read = append(c.read, manifest{name, strings.ToLower(algorithm), tags, entries})
		if !tags {
			payload++
			c.report.Algorithms = append(c.report.Algorithms, strings.ToLower(algorithm))
		}
	}
	if payload == 0 {
		c.add(finding.Error, ruleDeclaration, finding.Span{}, "", "there is no manifest of data/ whose checksums are known, such as manifest-sha512.txt")
	}
}

// compare holds the files against the manifests.
func (c *check) compare() {
	wanted := map[string][]string{} // path → algorithms
	for _, m := range c.read {
		for _, e := range m.entries {
			if !slices.Contains(wanted[e.path], m.algorithm) {
				wanted[e.path] = append(wanted[e.path], m.algorithm)
			}
		}
	}
	for name := range c.files {
		if strings.HasPrefix(name, dataFolder+"/") {
			c.report.Files++
			if _, listed := wanted[name]; !listed {
				wanted[name] = nil // its size is counted
			}
		}
	}
	var total int64
	for name := range wanted {
		if info, err := c.root.Lstat(filepath.FromSlash(name)); err == nil && c.files[name] {
			total += info.Size()
		}
	}
	c.done = c.told.Begin(progress.Checking, total)
	for _, name := range slices.Sorted(maps.Keys(wanted)) {
		if c.files[name] {
			c.sum(name, wanted[name])
		}
	}
	for _, m := range c.read {
		listed := map[string]bool{}
		for _, e := range m.entries {
			listed[e.path] = true
			sum, read := c.sums[e.path][m.algorithm]
			switch {
			case c.odd[e.path]: // said already
			case !c.files[e.path]:
				c.found.Add(finding.Finding{Rule: ruleMissing, Level: finding.Error, Span: file(e.path), Text: "the file is missing",
					Related: []finding.Related{{Span: e.at, Text: "it is listed here"}}, Remedy: "fetch it from another copy of the bag."})
			case read && !bytes.Equal(sum, e.sum):
				c.found.Add(finding.Finding{Rule: ruleAltered, Level: finding.Error, Span: file(e.path), Text: "the file was altered: its checksum is not the one that the manifests give",
					Related: []finding.Related{{Span: e.at, Text: "the checksum that it had"}}, Remedy: "take it from another copy of the bag."})
			}
		}
		c.unlisted(m, listed)
	}
	c.stray()
}

// unlisted reports what a manifest should list and does not.
func (c *check) unlisted(m manifest, listed map[string]bool) {
	for name := range c.files {
		_, tags, isManifest := manifestName(name)
		switch {
		case listed[name]:
		case !m.tags && strings.HasPrefix(name, dataFolder+"/"):
			c.add(finding.Error, ruleUnlisted, file(name), "take it out of the bag, or make a new bag that has it.", "the file is in the bag and %s does not list it", m.name)
		case m.tags && isManifest && !tags && !strings.Contains(name, "/"):
			c.add(finding.Error, ruleManifest, file(m.name), "", "it does not list %s, as every tag manifest must", name)
		}
	}
	for _, other := range c.read {
		if other.tags != m.tags || other.name == m.name {
			continue
		}
		for _, e := range other.entries {
			if !listed[e.path] && c.files[e.path] && m.tags {
				c.add(finding.Error, ruleManifest, file(m.name), "", "it does not list %s, which %s lists", e.path, other.name)
			}
		}
	}
}

// stray reports files beside data/ that no tag manifest lists; the RFC allows them, and nothing tells of their soundness.
func (c *check) stray() {
	listed, any := map[string]bool{}, false
	for _, m := range c.read {
		if m.tags {
			any = true
			for _, e := range m.entries {
				listed[e.path] = true
			}
		}
	}
	for name := range c.files {
		_, tags, isManifest := manifestName(name)
		if !any || listed[name] || strings.HasPrefix(name, dataFolder+"/") || isManifest && tags && !strings.Contains(name, "/") {
			continue
		}
		if isManifest && !strings.Contains(name, "/") {
			continue // said already
		}
		c.add(finding.Warning, ruleUnlisted, file(name), "", "no tag manifest lists the file, so nothing tells whether it was altered")
	}
}

// sum reads a file once and computes the checksums that are asked for.
func (c *check) sum(name string, wanted []string) {
	f, err := c.root.Open(filepath.FromSlash(name))
	if err != nil {
		c.unreadable(name, err)
		return
	}
	hashes := map[string]hash.Hash{}
	into := []io.Writer{io.Discard}
	for _, a := range wanted {
		hashes[a] = algorithms[a]()
		into = append(into, hashes[a])
	}
	n, err := io.Copy(io.MultiWriter(into...), progress.Read(f, c.done))
	if err := errors.Join(err, f.Close()); err != nil {
		c.unreadable(name, err)
		return
	}
	if strings.HasPrefix(name, dataFolder+"/") {
		c.report.Bytes += n
	}
	c.sums[name] = map[string][]byte{}
	for a, h := range hashes {
		c.sums[name][a] = h.Sum(nil)
	}
}

var infoLine = regexp.MustCompile(`^[^:\s][^:]*:(?:[ \t].*)?$`)

// info reads bag-info.txt.
func (c *check) info() {
	text, ok := c.tag(infoFile)
	if !ok {
		return
	}
	source := finding.NewSource(infoFile, text)
	first := true
	for start, line := range lines(text) {
		at := source.At(int64(start), len(line))
		if len(line) > 0 && (line[0] == ' ' || line[0] == '\t') && !first {
			continue // goes on with the line before
		}
		first = false
		if !infoLine.Match(line) {
			c.add(finding.Error, ruleInfo, at, "", "the line is no label, colon, space and value")
			continue
		}
		label, value, _ := strings.Cut(string(line), ":")
		if want := fmt.Sprintf("%d.%d", c.report.Bytes, c.report.Files); strings.EqualFold(label, "Payload-Oxum") && strings.TrimSpace(value) != want {
			c.add(finding.Error, ruleInfo, at, "see what is missing, altered or added.", "it says %s bytes and files under data/; there are %s", strings.TrimSpace(value), want)
		}
	}
}

var fetchLine = regexp.MustCompile(`^[A-Za-z][A-Za-z0-9+.-]*:\S+[ \t]+([0-9]+|-)[ \t]+(\S.*)$`)

// fetch reads fetch.txt, the list of files that are to be had elsewhere. Nothing is fetched here: what is not in the bag
// is missing, and reported where it is listed.
func (c *check) fetch() {
	text, ok := c.tag(fetchFile)
	if !ok {
		return
	}
	source := finding.NewSource(fetchFile, text)
	for start, line := range lines(text) {
		at := source.At(int64(start), len(line))
		m := fetchLine.FindSubmatch(line)
		if m == nil {
			c.add(finding.Error, ruleManifest, at, "", "the line is no address, length and path")
			continue
		}
		if why := misplaced(decodePath(string(m[2])), false); why != "" {
			c.add(finding.Error, ruleManifest, at, "", "the path %q %s", m[2], why)
		}
	}
}

func firstLine(text []byte) []byte {
	for _, line := range lines(text) {
		return line
	}
	return nil
}
