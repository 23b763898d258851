package app

import (
	"bytes"
	"encoding/binary"
	"encoding/csv"
	"encoding/json"
	"image"
	"image/jpeg"
	"io/fs"
	"net/url"
	"os"
	"path"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"golang.org/x/net/html"

	"voltwright/internal/begin"
)

// place is what a camera writes beside a picture and nobody else shall read.
const placeTaken = "GPSLatitude 51.4779 SECRETPLACE"

// bagged archives the journal that begin writes, with a photo shown and one linked, and gives the folder above the bag.
func bagged(t *testing.T, address string) (parent string) {
	t.Helper()
	parent = t.TempDir()
	dir := filepath.Join(parent, "journal")
	if _, err := begin.Journal(dir); err != nil {
		t.Fatal(err)
	}
	write := func(name string, text []byte) {
		if err := os.WriteFile(filepath.Join(dir, filepath.FromSlash(name)), text, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	read := func(name string) string {
		text, err := os.ReadFile(filepath.Join(dir, filepath.FromSlash(name)))
		if err != nil {
			t.Fatal(err)
		}
		return string(text)
	}
	if address != "" {
		write("journal.yaml", []byte("address: "+address+"\n"+read("journal.yaml")))
	}
	const version = "trolley/1-first-pack/"
	write(version+"tray.jpg", photographed(t))
	write(version+"lid.jpg", photographed(t))
	write(version+"sketch.txt", []byte("a sketch\n"))
	write(version+"version.md", []byte(read(version+"version.md")+"\n![The tray](tray.jpg)\n\nThe [lid](lid.jpg), a [sketch](sketch.txt), and [the vehicle](../vehicle.md).\n"))
	run(t, 0, "archive", "--journal", dir, "trolley/1-first-pack", "--to", filepath.Join(parent, "bag"))
	return parent
}

func run(t *testing.T, status int, args ...string) string {
	t.Helper()
	var out, errs bytes.Buffer
	if got := Main(args, nil, &out, &errs); got != status {
		t.Fatalf("voltwright %s: status %d, want %d\n%s%s", strings.Join(args, " "), got, status, out.String(), errs.String())
	}
	return out.String() + errs.String()
}

func photographed(t *testing.T) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := jpeg.Encode(&b, image.NewGray(image.Rect(0, 0, 40, 30)), nil); err != nil {
		t.Fatal(err)
	}
	segment := "Exif\x00\x00" + placeTaken
	out := append([]byte{}, b.Bytes()[:2]...)
	out = binary.BigEndian.AppendUint16(append(out, 0xff, 0xe1), uint16(len(segment)+2))
	return append(append(out, segment...), b.Bytes()[2:]...)
}

// files reads a folder.
func files(t *testing.T, dir string) map[string][]byte {
	t.Helper()
	all := map[string][]byte{}
	err := filepath.WalkDir(dir, func(p string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		rel, err := filepath.Rel(dir, p)
		if err != nil {
			return err
		}
		all[filepath.ToSlash(rel)], err = os.ReadFile(p)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return all
}

func TestBagHoldsTheVersion(t *testing.T) {
	parent := bagged(t, "https://example.org/book/")
	bag := files(t, filepath.Join(parent, "bag"))
	for _, name := range []string{
		"data/journal/journal.yaml", "data/journal/trolley/vehicle.md", "data/journal/trolley/1-first-pack/version.md",
		"data/journal/trolley/1-first-pack/bench-2026-01-17.md", "data/journal/trolley/1-first-pack/bench-2026-01-17.csv",
		"data/journal/trolley/1-first-pack/tray.jpg", "data/journal/trolley/1-first-pack/lid.jpg", "data/journal/trolley/1-first-pack/sketch.txt",
		"data/site/trolley/1-first-pack/index.html", "data/site/trolley/1-first-pack/bench-2026-01-17/index.html",
		"data/site/trolley/1-first-pack/tray.jpg", "data/site/method/index.html", "data/site/assets/sheet.css",
		"data/results/results.json", "data/results/figures.csv", "data/csv-metadata.json", "data/about.txt",
	} {
		if len(bag[name]) == 0 {
			t.Errorf("the bag has no %s", name)
		}
	}
	for name, text := range bag {
		if strings.HasPrefix(name, "data/site/search/") {
			t.Errorf("the bag has %s, which is about the whole journal", name)
		}
		if bytes.Contains(text, []byte("SECRETPLACE")) {
			t.Errorf("%s tells where a picture was taken", name)
		}
	}
	if page := bag["data/site/trolley/1-first-pack/index.html"]; !bytes.Contains(page, []byte(`href="https://example.org/book/search/"`)) {
		t.Error("the page in the bag does not lead to the journal's search")
	}
	journal := files(t, filepath.Join(parent, "journal"))
	log := "trolley/1-first-pack/bench-2026-01-17.csv"
	if name := strings.TrimSuffix(log, ".csv") + "/" + path.Base(log); len(bag["data/journal/"+log]) == 0 || !bytes.Equal(bag["data/journal/"+log], bag["data/site/"+name]) {
		t.Error("the log is not as it is published")
	}
	if len(bytes.Split(bag["data/journal/"+log], []byte("\n"))) != len(bytes.Split(journal[log], []byte("\n"))) {
		t.Error("the log has not the lines that it had")
	}
	info := string(bag["bag-info.txt"])
	for _, want := range []string{"Bagging-Date: 2026-01-17\n", "External-Identifier: https://example.org/book/trolley/1-first-pack/\n", "Written-By: voltwright " + Version, "Notice: This journal was made"} {
		if !strings.Contains(info, want) {
			t.Errorf("bag-info.txt lacks %q:\n%s", want, info)
		}
	}
}

// Each file of a bag, changed by one byte: the check fails and names it.
func TestOneChangedByteIsFound(t *testing.T) {
	parent := bagged(t, "")
	bag := filepath.Join(parent, "bag")
	if said := run(t, 0, "archive", "--verify", bag); !strings.Contains(said, "complete and valid; nothing to mend") {
		t.Errorf("the bag as it was written: %s", said)
	}
	for name, text := range files(t, bag) {
		target := filepath.Join(bag, filepath.FromSlash(name))
		for _, at := range []int{0, len(text) / 2, len(text) - 1} {
			changed := slices.Clone(text)
			changed[at] ^= 1
			if err := os.WriteFile(target, changed, 0o644); err != nil {
				t.Fatal(err)
			}
			if said := run(t, 1, "archive", "--verify", bag); !strings.Contains(said, name+":") && !strings.Contains(said, name+" ") {
				t.Errorf("%s, byte %d: the check does not name the file:\n%s", name, at, said)
			}
		}
		if err := os.WriteFile(target, text, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	run(t, 0, "archive", "--verify", bag)
}

// The same journal, in another place and time zone: the same bytes.
func TestBagIsReproducible(t *testing.T) {
	a, b := bagged(t, "https://example.org/book/"), ""
	local := time.Local
	time.Local = time.FixedZone("elsewhere", 12*3600)
	defer func() { time.Local = local }()
	b = bagged(t, "https://example.org/book/")
	one, two := files(t, filepath.Join(a, "bag")), files(t, filepath.Join(b, "bag"))
	if len(one) != len(two) {
		t.Errorf("%d files and %d", len(one), len(two))
	}
	for name := range one {
		if !bytes.Equal(one[name], two[name]) {
			t.Errorf("%s differs", name)
		}
	}
}

// Opened from disk, a page of a bag finds all that it shows, and every link leads to a file of the bag, to a place on a
// page of it, or to the journal's address.
func TestPagesOfABagOpenFromDisk(t *testing.T) {
	for _, address := range []string{"", "https://example.org/book", "https://example.org/book/"} {
		bag := files(t, filepath.Join(bagged(t, address), "bag"))
		inside, outside, gone := 0, 0, 0
		for name, text := range bag {
			if path.Ext(name) != ".html" {
				continue
			}
			z := html.NewTokenizer(bytes.NewReader(text))
			for z.Next() != html.ErrorToken {
				for _, a := range z.Token().Attr {
					if a.Key == "title" && strings.HasPrefix(a.Val, "Not in this bag: ") {
						gone++
					}
					if a.Key != "href" && a.Key != "src" && a.Key != "data-engine" && a.Key != "data-plot" {
						continue
					}
					u, err := url.Parse(a.Val)
					switch {
					case err != nil:
						t.Errorf("%s: %q is no address", name, a.Val)
					case u.Scheme != "":
						outside++
						if address == "" || !strings.HasPrefix(a.Val, strings.TrimSuffix(address, "/")+"/") || strings.HasSuffix(u.Path, "index.html") {
							t.Errorf("%s leads to %s", name, a.Val)
						}
					case u.Path == "":
						inside++
						if !bytes.Contains(text, []byte(`id="`+u.Fragment+`"`)) {
							t.Errorf("%s has no place %q", name, a.Val)
						}
					default:
						inside++
						to := path.Join(path.Dir(name), u.Path)
						if _, ok := bag[to]; !ok {
							t.Errorf("%s leads to %s, which the bag does not have", name, to)
						} else if u.Fragment != "" && !bytes.Contains(bag[to], []byte(`id="`+u.Fragment+`"`)) {
							t.Errorf("%s leads to %s, which has no such place", name, a.Val)
						}
					}
				}
			}
		}
		if inside < 100 || (address == "") != (outside == 0) || (address == "") != (gone > 0) {
			t.Errorf("address %q: %d links inside, %d outside, %d gone", address, inside, outside, gone)
		}
	}
}

// The metadata against the tables, by the rules of the W3C's Metadata Vocabulary for Tabular Data (2015): every table
// has its columns in order, titles as in its head, names that are allowed, and cells of the datatype that is stated.
func TestTablesAreWhatTheMetadataSay(t *testing.T) {
	bag := files(t, filepath.Join(bagged(t, ""), "bag"))
	var m struct {
		Context []any `json:"@context"`
		Tables  []struct {
			URL         string
			TableSchema struct {
				Columns []struct {
					Name, Titles, Datatype string
					Unit                   string `json:"schema:unitText"`
				}
			}
		}
	}
	if err := json.Unmarshal(bag["data/csv-metadata.json"], &m); err != nil {
		t.Fatal(err)
	}
	if len(m.Context) != 2 || m.Context[0] != "http://www.w3.org/ns/csvw" {
		t.Errorf("@context is %v", m.Context)
	}
	name := regexp.MustCompile(`^[a-z0-9][a-z0-9_]*$`)
	fits := map[string]func(string) bool{
		"string":  func(string) bool { return true },
		"integer": func(s string) bool { _, err := strconv.ParseInt(s, 10, 64); return err == nil },
		"double":  func(s string) bool { _, err := strconv.ParseFloat(s, 64); return err == nil },
		"date":    func(s string) bool { _, err := time.Parse(time.DateOnly, s); return err == nil },
	}
	described, units := map[string]bool{}, map[string]bool{}
	for _, table := range m.Tables {
		file := "data/" + table.URL
		described[file] = true
		rows, err := csv.NewReader(bytes.NewReader(bag[file])).ReadAll()
		if err != nil || len(rows) < 2 {
			t.Fatalf("%s: %d rows, %v", file, len(rows), err)
		}
		columns := table.TableSchema.Columns
		if len(columns) != len(rows[0]) {
			t.Fatalf("%s has %d columns, %d are described", file, len(rows[0]), len(columns))
		}
		seen := map[string]bool{}
		for i, c := range columns {
			units[c.Unit] = true
			if c.Titles != rows[0][i] || !name.MatchString(c.Name) || seen[c.Name] || fits[c.Datatype] == nil {
				t.Errorf("%s, column %q is described as %+v", file, rows[0][i], c)
				continue
			}
			seen[c.Name] = true
			for _, row := range rows[1:] {
				if row[i] != "" && !fits[c.Datatype](row[i]) {
					t.Errorf("%s: %q in column %s is no %s", file, row[i], c.Name, c.Datatype)
				}
			}
		}
	}
	if !units["s"] || !units["V"] || !units["A"] {
		t.Errorf("the units are %v", units)
	}
	for file := range bag {
		log := strings.HasSuffix(file, "/bench-2026-01-17.csv")
		if path.Ext(file) == ".csv" && described[file] == log {
			t.Errorf("%s: described: %v, the maker's own log: %v", file, described[file], log)
		}
	}
}
