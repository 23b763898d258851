package archive

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"io"
	"path"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"voltwright/internal/outgoing"
	"voltwright/internal/record"
)

// results adds what was measured and computed: every record of the site's under the version's page in one file, the
// figures of its runs as a table, and what the columns of every table are.
func (m *maker) results() error {
	all := map[string]json.RawMessage{}
	var rows [][]string
	logs := m.logs()
	for _, p := range m.Paths {
		under, ok := strings.CutPrefix(p, m.Version.Path()+"/")
		if !ok || logs[p] {
			continue
		}
		switch path.Ext(p) {
		case ".json":
			data, err := m.site(p)
			if err != nil {
				return err
			}
			if !json.Valid(data) {
				return fmt.Errorf("%s of the site is no JSON", p)
			}
			all[strings.TrimSuffix(under, ".json")] = data
			var r record.RunDocument
			if json.Unmarshal(data, &r) == nil && r.Head == record.HeadOf(record.RunKind) {
				rows = append(rows, figureRows(r)...)
			}
		case ".csv":
			data, err := m.site(p)
			if err != nil {
				return err
			}
			t, err := describeTable(siteFolder+"/"+p, data)
			if err != nil {
				return fmt.Errorf("%s of the site: %w", p, err)
			}
			m.tables = append(m.tables, t)
		}
	}
	if err := m.figures(rows); err != nil {
		return err
	}
	text, err := json.MarshalIndent(record.BagDocument{Head: record.HeadOf(record.BagKind), Version: m.Version.Path(), Records: all}, "", " ")
	if err != nil {
		return err
	}
	if err := m.bag.putBytes(resultsFolder+"/results.json", append(text, '\n')); err != nil {
		return err
	}
	metadata, err := m.metadata()
	if err != nil {
		return err
	}
	return m.bag.putBytes("csv-metadata.json", metadata)
}

// logs are the maker's own logs on the site: what their columns are is the maker's to say.
func (m *maker) logs() map[string]bool {
	logs := map[string]bool{}
	for _, r := range m.Version.Runs {
		if r.Log != nil && r.Log.Path != "" {
			folder, name := string(r.ID()), path.Base(r.Log.Path)
			logs[folder+"/log-"+name] = true
			logs[folder+"/"+name] = !m.has[folder+"/log-"+name]
		}
	}
	return logs
}

// figureColumns are the columns of figures.csv.
var figureColumns = []column{
	{Name: "run", Titles: "Run", Type: "string", About: "path of the run in the journal"},
	{Name: "figure", Titles: "Figure", Type: "string", About: "fixed name of the figure"},
	{Name: "label", Titles: "Label", Type: "string", About: "what the figure is called on a page"},
	{Name: "value", Titles: "Value", Type: "double", About: "in the unit of the row; empty where the figure is missing"},
	{Name: "standard_uncertainty", Titles: "Standard uncertainty", Type: "double", About: "k = 1, in the unit of the row; empty where it is not known"},
	{Name: "unit", Titles: "Unit", Type: "string", About: "of value and standard uncertainty"},
	{Name: "kind", Titles: "Kind", Type: "string", About: "measured, computed or quoted"},
	{Name: "formula", Titles: "Formula", Type: "string", About: "name of the formula on the page site/method/index.html"},
	{Name: "missing", Titles: "Why it is missing", Type: "string", About: "empty where there is a value"},
}

func figureRows(r record.RunDocument) [][]string {
	var rows [][]string
	for _, f := range r.Figures {
		rows = append(rows, []string{r.Path, f.Name, f.Label, number(f.Value), number(f.U), f.Unit, f.Kind, f.Formula, f.Missing})
	}
	return rows
}

func number(v *float64) string {
	if v == nil {
		return ""
	}
	return strconv.FormatFloat(*v, 'g', -1, 64)
}

func (m *maker) figures(rows [][]string) error {
	var b bytes.Buffer
	var head []string
	for _, c := range figureColumns {
		head = append(head, c.Titles)
	}
	if err := outgoing.WriteCSV(&b, append([][]string{head}, rows...)); err != nil {
		return err
	}
	name := resultsFolder + "/figures.csv"
	m.tables = append(m.tables, table{URL: name, Columns: figureColumns})
	return m.bag.putBytes(name, b.Bytes())
}

// table is a table of the bag and what its columns are.
type table struct {
	URL     string // relative to csv-metadata.json
	Columns []column
}

type column struct{ Name, Titles, Type, Unit, About string }

// unitOf takes the unit from the head of a column: "Voltage in V", "Length (mm)", "length_mm".
var unitOf = regexp.MustCompile(`^(.+?)(?: in ([^ ]+)| \(([^()]+)\)|, ([^ ,]{1,6})|_(mm|m|kg|V|A|W|s))$`)

// describeTable finds out what the columns of a table are: name and unit from its head, datatype from its cells.
func describeTable(url string, data []byte) (table, error) {
	rows, err := csv.NewReader(bytes.NewReader(data)).ReadAll()
	if err != nil {
		return table{}, err
	}
	if len(rows) == 0 {
		return table{}, io.ErrUnexpectedEOF
	}
	t := table{URL: url}
	for i, head := range rows[0] {
		c := column{Titles: head, Type: typeOf(rows[1:], i)}
		words := head
		if m := unitOf.FindStringSubmatch(head); m != nil && c.Type != "string" {
			words, c.Unit = m[1], m[2]+m[3]+m[4]+m[5]
		}
		c.Name = plain(words)
		for n := 2; slices.ContainsFunc(t.Columns, func(o column) bool { return o.Name == c.Name }); n++ {
			c.Name = fmt.Sprintf("%s_%d", plain(words), n)
		}
		t.Columns = append(t.Columns, c)
	}
	return t, nil
}

var datatypes = []struct {
	name string
	form *regexp.Regexp
}{
	{"integer", regexp.MustCompile(`^[+-]?[0-9]{1,18}$`)},
	{"double", regexp.MustCompile(`^[+-]?([0-9]+(\.[0-9]*)?|\.[0-9]+)([eE][+-]?[0-9]+)?$`)},
	{"date", regexp.MustCompile(`^[0-9]{4}-[0-9]{2}-[0-9]{2}$`)},
}

// typeOf is the narrowest datatype (W3C XML Schema) of all the cells of a column that are not empty.
func typeOf(rows [][]string, i int) string {
	for _, d := range datatypes {
		fits, some := true, false
		for _, row := range rows {
			if row[i] != "" {
				some = true
				fits = fits && d.form.MatchString(row[i])
			}
		}
		if fits && some {
			return d.name
		}
	}
	return "string"
}

// plain makes the name of a column, which may hold small letters, digits and low lines.
func plain(words string) string {
	var b strings.Builder
	for _, r := range strings.ToLower(words) {
		if r >= 'a' && r <= 'z' || r >= '0' && r <= '9' {
			b.WriteRune(r)
		} else {
			b.WriteByte(' ')
		}
	}
	if name := strings.Join(strings.Fields(b.String()), "_"); name != "" {
		return name
	}
	return "column"
}

// metadata describes the tables in the W3C's vocabulary (Metadata Vocabulary for Tabular Data, Recommendation of
// 17 December 2015). It has no word for a unit; unitText of schema.org, which it knows by the prefix schema, is one.
func (m *maker) metadata() ([]byte, error) {
	type columnJSON struct {
		Name     string `json:"name"`
		Titles   string `json:"titles"`
		Datatype string `json:"datatype"`
		Unit     string `json:"schema:unitText,omitempty"`
		About    string `json:"dc:description,omitempty"`
	}
	type schemaJSON struct {
		Columns []columnJSON `json:"columns"`
	}
	type tableJSON struct {
		URL    string     `json:"url"`
		Schema schemaJSON `json:"tableSchema"`
	}
	language := m.Journal.Language.Text
	if language == "" {
		language = "en"
	}
	out := struct {
		Context []any       `json:"@context"`
		Title   string      `json:"dc:title"`
		Creator string      `json:"dc:creator,omitempty"`
		Date    string      `json:"dc:date"`
		Licence string      `json:"dc:rights,omitempty"`
		Tables  []tableJSON `json:"tables"`
	}{Context: []any{"http://www.w3.org/ns/csvw", map[string]string{"@language": language}},
		Title:   fmt.Sprintf("%s, version %d: %s", m.Version.Vehicle.Name.Text, m.Version.Number, m.Version.Name.Text),
		Creator: m.Journal.Maker.Name.Text, Date: m.date(), Licence: m.Journal.Licence.Text}
	slices.SortFunc(m.tables, func(a, b table) int { return strings.Compare(a.URL, b.URL) })
	for _, t := range m.tables {
		j := tableJSON{URL: t.URL}
		for _, c := range t.Columns {
			j.Schema.Columns = append(j.Schema.Columns, columnJSON{c.Name, c.Titles, c.Type, c.Unit, c.About})
		}
		out.Tables = append(out.Tables, j)
	}
	text, err := json.MarshalIndent(out, "", " ")
	return append(text, '\n'), err
}
