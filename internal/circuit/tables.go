package circuit

import (
	"embed"
	"encoding/csv"
	"errors"
	"fmt"
	"io/fs"
	"math"
	"strconv"
	"strings"
	"sync"

	"voltwright/internal/quantity"
)

//go:embed tables/*.csv
var tableFiles embed.FS

// Status says how far a value can be trusted, from best to worst.
type Status string

// Statuses of values. Confirmed means read in the source named.
const (
	Stated     Status = "stated" // by the maker of the vehicle or of the part
	Confirmed  Status = "confirmed"
	Computed   Status = "computed" // by a formula that is no table's
	FromMemory Status = "from memory"
	Disputed   Status = "disputed"
)

var trust = map[Status]int{Stated: 0, Confirmed: 1, Computed: 2, FromMemory: 3, Disputed: 4}

// Weaker is the status of what rests on both.
func (s Status) Weaker(other Status) Status {
	if trust[other] > trust[s] {
		return other
	}
	return s
}

// Quoted is where a value is from and how far it can be trusted.
type Quoted struct {
	Source string
	Status Status
}

// also joins what a second value rests on.
func (q Quoted) also(other Quoted) Quoted {
	switch {
	case q.Source == "":
		return other
	case other.Source == "" || strings.Contains(q.Source, other.Source):
	default:
		q.Source += "; " + other.Source
	}
	q.Status = q.Status.Weaker(other.Status)
	return q
}

type wireRow struct {
	area                     float64
	class5, tinned, stranded float64 // Ω/km
	quoted                   Quoted
}

type ampacityRow struct {
	table      string
	area       float64
	gauge      bool
	insulation float64
	amperes    float64
	quoted     Quoted
}

type deratingRow struct {
	table, kind string
	from, to    float64 // −Inf and +Inf where the table leaves an end open
	insulation  float64 // NaN: for any
	factor      float64
	quoted      Quoted
}

type gateRow struct {
	kind              string
	from, to          float64
	percent           float64
	shortest, longest float64 // NaN: not given
	quoted            Quoted
}

type fuseKindRow struct {
	kind            string
	volts, breaking float64
	quoted          Quoted
}

type placementRow struct {
	rule     string
	distance float64
	sheathed bool
	quoted   Quoted
}

type ferruleRow struct {
	area                       float64
	colour                     string
	pin, strip                 float64 // mm; NaN: not known
	source                     string
	colourStatus, lengthStatus Status
}

type crimpRow struct {
	colour      string
	from, to    float64 // mm²
	thin, thick int     // gauges
	quoted      Quoted
}

type tableSet struct {
	wires      []wireRow
	ampacities []ampacityRow
	deratings  []deratingRow
	gates      []gateRow
	fuseKinds  []fuseKindRow
	placements []placementRow
	ferrules   []ferruleRow
	crimps     []crimpRow
}

var loadTables = sync.OnceValues(func() (*tableSet, error) { return readTables(tableFiles) })

func tables() *tableSet {
	t, err := loadTables()
	if err != nil {
		panic(err) // the files are embedded and a test reads them
	}
	return t
}

// readTables is strict: a row that is short, a number that is none, or a value
// without source or status is an error that names file and row.
func readTables(files fs.FS) (*tableSet, error) {
	t := new(tableSet)
	for _, table := range []struct {
		name, head string
		row        func(r *row)
	}{
		{"iec60228", "mm2,class5,class5_tinned,class2,source,status", func(r *row) {
			t.wires = append(t.wires, wireRow{r.number(), r.number(), r.number(), r.number(), r.quoted()})
		}},
		{"ampacity", "table,size,insulation,amperes,source,status", func(r *row) {
			name := r.text()
			size := r.size()
			t.ampacities = append(t.ampacities, ampacityRow{name, float64(size.Area), size.Gauge, r.number(), r.number(), r.quoted()})
		}},
		{"derating", "table,kind,from,to,insulation,factor,source,status", func(r *row) {
			t.deratings = append(t.deratings, deratingRow{r.text(), r.text(), r.optional(math.Inf(-1)), r.optional(math.Inf(1)), r.optional(math.NaN()), r.number(), r.quoted()})
		}},
		{"fuse-gates", "kind,from_A,to_A,percent,min_s,max_s,source,status", func(r *row) {
			t.gates = append(t.gates, gateRow{r.text(), r.number(), r.number(), r.number(), r.optional(math.NaN()), r.optional(math.NaN()), r.quoted()})
		}},
		{"fuse-kinds", "kind,volts,breaking_A,source,status", func(r *row) {
			t.fuseKinds = append(t.fuseKinds, fuseKindRow{r.text(), r.number(), r.number(), r.quoted()})
		}},
		{"fuse-placement", "rule,metres,sheathed,source,status", func(r *row) {
			t.placements = append(t.placements, placementRow{r.text(), r.number(), r.text() == "yes", r.quoted()})
		}},
		{"ferrules", "mm2,colour,pin_mm,strip_mm,source,colour_status,length_status", func(r *row) {
			t.ferrules = append(t.ferrules, ferruleRow{r.number(), r.text(), r.optional(math.NaN()), r.optional(math.NaN()), r.text(), Status(r.text()), Status(r.text())})
		}},
		{"crimp-terminals", "colour,from_mm2,to_mm2,from_awg,to_awg,source,status", func(r *row) {
			t.crimps = append(t.crimps, crimpRow{r.text(), r.number(), r.number(), int(r.number()), int(r.number()), r.quoted()})
		}},
	} {
		if err := readTable(files, "tables/"+table.name+".csv", table.head, table.row); err != nil {
			return nil, err
		}
	}
	return t, nil
}

func readTable(files fs.FS, name, head string, add func(*row)) error {
	f, err := files.Open(name)
	if err != nil {
		return err
	}
	defer f.Close()
	records, err := csv.NewReader(f).ReadAll()
	if err != nil {
		return fmt.Errorf("%s: %w", name, err)
	}
	if len(records) < 2 || strings.Join(records[0], ",") != head {
		return fmt.Errorf("%s: no rows, or another head than %s", name, head)
	}
	for n, record := range records[1:] {
		r := &row{fields: record}
		add(r)
		if r.err != nil {
			return fmt.Errorf("%s: row %d: %w", name, n+2, r.err)
		}
	}
	return nil
}

// row hands out the fields of a record one by one and keeps the first fault.
type row struct {
	fields []string
	err    error
}

func (r *row) fail(err error) {
	if r.err == nil {
		r.err = err
	}
}

func (r *row) next() string {
	f := r.fields[0]
	r.fields = r.fields[1:]
	return f
}

func (r *row) text() string {
	s := r.next()
	if s == "" {
		r.fail(errors.New("an empty field"))
	}
	return s
}

func (r *row) number() float64 {
	v, err := strconv.ParseFloat(r.next(), 64)
	if err != nil {
		r.fail(err)
	}
	return v
}

func (r *row) optional(without float64) float64 {
	if r.fields[0] == "" {
		r.next()
		return without
	}
	return r.number()
}

func (r *row) size() Size {
	q, err := quantity.ParseAs(r.text(), quantity.Area)
	if err != nil {
		r.fail(err)
	}
	return SizeOf(q)
}

func (r *row) quoted() Quoted {
	q := Quoted{r.text(), Status(r.text())}
	if _, known := trust[q.Status]; !known {
		r.fail(fmt.Errorf("unknown status %q", q.Status))
	}
	return q
}
