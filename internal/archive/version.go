package archive

import (
	"errors"
	"fmt"
	"io"
	"path"
	"slices"
	"strings"

	"voltwright/internal/journal"
	"voltwright/internal/notes"
)

// Input is all that a bag is made from.
type Input struct {
	Journal *journal.Journal
	Version *journal.Version
	Paths   []string                                 // of the site's files
	Site    func(path string) (io.ReadCloser, error) // opens a file of the site
	Note    func(path string) (io.ReadCloser, error) // opens a note of the journal
	Went    map[string]string                        // file of the journal that is no note → what it became on the site
	Program string                                   // which program made it, with its version
	Method  []string                                 // the site's pages that explain the others
	Shared  string                                   // the site's folder of what its pages share: styles, scripts, lettering
}

// The folders of a bag under data/.
const (
	journalFolder = "journal"
	siteFolder    = "site"
	resultsFolder = "results"
)

// Make puts a version together as a bag: its notes as they stand in the journal, its own with all that it takes over from another version, its logs and pictures as they are published, its pages and those of its
// runs with all that they need, and its results as tables. The error joins what could not be read, cleaned or written.
func Make(in Input) (*Bag, error) {
	m := &maker{Input: in, bag: &Bag{}, has: map[string]bool{}}
	for _, p := range in.Paths {
		m.has[p] = true
	}
	if err := errors.Join(m.notes(), m.pages(), m.results()); err != nil {
		return nil, err
	}
	m.describe()
	return m.bag, m.bag.putBytes("about.txt", []byte(m.about()))
}

type maker struct {
	Input
	bag    *Bag
	has    map[string]bool // files of the site
	kept   map[string]bool // files of the site that are in the bag
	tables []table
}

func (m *maker) site(name string) ([]byte, error) {
	r, err := m.Site(name)
	if err != nil {
		return nil, err
	}
	data, err := io.ReadAll(r)
	return data, errors.Join(err, r.Close())
}

// notes adds the notes of the version and its runs, with the journal's and the vehicle's, which they lean on, and the
// files beside them: as they stand on the site, cleaned of what nobody asked to publish. What did not go there does not go here.
func (m *maker) notes() error {
	v := m.Version
	own := []*notes.Note{m.Journal.Note, v.Vehicle.Note, v.Note}
	for _, r := range v.Runs {
		own = append(own, r.Note)
	}
	from := map[string]bool{}
	for _, n := range own {
		from[n.Path] = true
		err := error(nil)
		if n == v.Note && v.LikeVersion != nil { // the other version is not in the bag
			err = m.bag.putBytes(journalFolder+"/"+n.Path, []byte("---\n"+v.WrittenOut()+"---\n"+string(n.Body())))
		} else {
			err = m.note(n.Path, n.Path)
		}
		if err != nil {
			return err
		}
	}
	for _, a := range m.Journal.Used {
		to, went := m.Went[a.Path]
		if !went || !from[a.From.File()] && !strings.HasPrefix(a.Path, v.Path()+"/") {
			continue
		}
		name := journalFolder + "/" + strings.TrimSuffix(a.Path, path.Ext(a.Path)) + path.Ext(to)
		if err := m.bag.put(name, func() (io.ReadCloser, error) { return m.Site(to) }); err != nil {
			return err
		}
	}
	return nil
}

func (m *maker) note(to, from string) error {
	return m.bag.put(journalFolder+"/"+to, func() (io.ReadCloser, error) { return m.Note(from) })
}

// describe fills bag-info.txt.
func (m *maker) describe() {
	v, j := m.Version, m.Journal
	add := func(label, value string) { m.bag.Info = append(m.bag.Info, Field{label, value}) }
	add("Source-Organization", j.Maker.Name.Text)
	add("External-Description", fmt.Sprintf("%s, version %d: %s. %s", v.Vehicle.Name.Text, v.Number, v.Name.Text, v.Summary.Text))
	add("External-Identifier", m.address(v.Path()+"/"))
	add("Internal-Sender-Identifier", v.Path())
	add("Internal-Sender-Description", j.Title.Text)
	add("Bagging-Date", m.date())
	add("Bagging-Date-Is", "the date of the newest note in the bag, not of the day on which the bag was made, so that the same notes make the same bag")
	add("Licence", j.Licence.Text)
	add("Notice", j.Notice.Text)
	add("Written-By", m.Program)
}

// date is that of the newest note of the version.
func (m *maker) date() string {
	dates := []string{m.Version.Date.String()}
	for _, r := range m.Version.Runs {
		dates = append(dates, r.Date.String())
	}
	return slices.Max(dates)
}

// address is where a file of the site stands, "" where the journal does not say where its site will stand.
func (m *maker) address(file string) string {
	if !m.Journal.Address.Set {
		return ""
	}
	return m.Journal.Addressed(file)
}

func (m *maker) about() string {
	v := m.Version
	var b strings.Builder
	fmt.Fprintf(&b, "%s, version %d: %s\n%s\n", v.Vehicle.Name.Text, v.Number, v.Name.Text, strings.Repeat("=", 72))
	if text := m.Journal.Notice.Text; text != "" {
		fmt.Fprintf(&b, "\n%s\n", text)
	}
	fmt.Fprintf(&b, `
This folder keeps one version of a vehicle as it was on %s, the date of its
newest note: what was built, how it was tried, and what was found.

To read it       open %s/%s/index.html in a browser; no network is needed.
%-16s the notes as their maker wrote them, and of the logs what was measured,
                 which gives the same results again: no place, no name, no number of a
                 device. Pictures have lost everything but their pixels.
%-16s the pages of the version and of its runs, with the method and the words.
                 %s
%-16s what was measured and computed, for who wants to go on computing:
                 results.json, and figures.csv, one row a figure.
csv-metadata.json  what each column of each table is, and in which unit
                 (W3C, Metadata Vocabulary for Tabular Data, 2015).

To check that nothing was altered, in the folder above this one:

  voltwright archive --verify .
  sha512sum --check --quiet manifest-sha512.txt tagmanifest-sha512.txt

The layout is that of RFC 8493, The BagIt File Packaging Format, version 1.0.
`, m.date(), siteFolder, v.Path(), journalFolder+"/", siteFolder+"/", m.elsewhere(), resultsFolder+"/")
	return b.String()
}

func (m *maker) elsewhere() string {
	if at := m.address(""); at != "" {
		return "Links to other pages of the journal lead to " + at + "."
	}
	return "Other pages of the journal are not here, and links to them are not links."
}
