package archive

import (
	"bytes"
	"fmt"
	"hash"
	"io"
	"slices"
	"strings"

	"voltwright/internal/progress"
	"voltwright/internal/whole"
)

// Bag is a bag before it is written: what it says of itself, and its files.
type Bag struct {
	Info  []Field // of bag-info.txt, in this order; the size of the payload is added
	files map[string]func() (io.ReadCloser, error)
}

// Field is one line of bag-info.txt.
type Field struct{ Label, Value string }

const declarationText = "BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n"

// put adds a file under data/. A second file of one path is an error of the program.
func (b *Bag) put(path string, open func() (io.ReadCloser, error)) error {
	if b.files == nil {
		b.files = map[string]func() (io.ReadCloser, error){}
	}
	if _, ok := b.files[path]; ok {
		return fmt.Errorf("two files of the bag would be %q", path)
	}
	b.files[path] = open
	return nil
}

func (b *Bag) putBytes(path string, text []byte) error {
	return b.put(path, func() (io.ReadCloser, error) { return io.NopCloser(bytes.NewReader(text)), nil })
}

// Paths lists the files under data/ in the order of their paths, relative to it.
func (b *Bag) Paths() []string {
	var all []string
	for p := range b.files {
		all = append(all, p)
	}
	slices.Sort(all)
	return all
}

// Write writes the bag to the folder dir, whose parent must exist: whole or not at all. The error wraps whole.ErrTaken
// if dir holds anything. told hears how many files are written. The checksums are those of the bytes that were written, not of a second reading.
func (b *Bag) Write(dir string, told progress.Report) error {
	w := &writing{bag: b, sums: map[string]map[string][]byte{}}
	paths := []string{declarationFile}
	for _, p := range b.Paths() {
		paths = append(paths, dataFolder+"/"+p)
	}
	paths = append(paths, infoFile)
	for _, prefix := range []string{"manifest-", "tagmanifest-"} {
		for _, a := range written {
			paths = append(paths, prefix+a+".txt")
		}
	}
	done := told.Begin(progress.Writing, int64(len(paths)))
	return whole.Folder(dir, paths, func(name string) (io.ReadCloser, error) {
		done(1)
		return w.open(name)
	})
}

// writing makes the files of a bag one after the other; manifests come after what they list.
type writing struct {
	bag   *Bag
	sums  map[string]map[string][]byte // path → algorithm → checksum
	bytes int64                        // under data/
	order []string
}

func (w *writing) open(name string) (io.ReadCloser, error) {
	r, err := w.source(name)
	if err != nil {
		return nil, err
	}
	w.order = append(w.order, name)
	s := &summed{w: w, name: name, from: r, hashes: map[string]hash.Hash{}}
	var into []io.Writer
	for _, a := range written {
		s.hashes[a] = algorithms[a]()
		into = append(into, s.hashes[a])
	}
	s.r = io.TeeReader(r, io.MultiWriter(into...))
	return s, nil
}

func (w *writing) source(name string) (io.ReadCloser, error) {
	if p, ok := strings.CutPrefix(name, dataFolder+"/"); ok {
		return w.bag.files[p]()
	}
	text := declarationText
	if name == infoFile {
		text = w.info()
	}
	if algorithm, tags, ok := manifestName(name); ok {
		text = w.manifest(algorithm, tags)
	}
	return io.NopCloser(strings.NewReader(text)), nil
}

func (w *writing) manifest(algorithm string, tags bool) string {
	var b strings.Builder
	listed := slices.DeleteFunc(slices.Clone(w.order), func(name string) bool {
		return strings.HasPrefix(name, dataFolder+"/") == tags || strings.HasPrefix(name, "tagmanifest-")
	})
	slices.Sort(listed)
	for _, name := range listed {
		b.WriteString(line(w.sums[name][algorithm], name))
	}
	return b.String()
}

func (w *writing) info() string {
	var b strings.Builder
	fields := append(slices.Clone(w.bag.Info), Field{"Payload-Oxum", fmt.Sprintf("%d.%d", w.bytes, len(w.bag.files))})
	for _, f := range fields {
		if value := strings.Join(strings.Fields(f.Value), " "); value != "" {
			fmt.Fprintf(&b, "%s: %s\n", f.Label, value)
		}
	}
	return b.String()
}

// summed reads a file and keeps its checksums once it has been read to its end and closed.
type summed struct {
	w      *writing
	name   string
	from   io.Closer
	r      io.Reader
	hashes map[string]hash.Hash
}

func (s *summed) Read(p []byte) (int, error) {
	n, err := s.r.Read(p)
	if strings.HasPrefix(s.name, dataFolder+"/") {
		s.w.bytes += int64(n)
	}
	return n, err
}

func (s *summed) Close() error {
	s.w.sums[s.name] = map[string][]byte{}
	for a, h := range s.hashes {
		s.w.sums[s.name][a] = h.Sum(nil)
	}
	return s.from.Close()
}
