package circuit

import (
	"embed"
	"io/fs"
	"math"
	"strings"
	"sync"

	"voltwright/internal/quantity"
	"voltwright/internal/reference"
)

//go:embed tables/*.csv
var tableFiles embed.FS

// Status says how far a value can be trusted: one of the closed set of package reference.
type Status = reference.Status

// Statuses of values, from best to worst.
const (
	Stated     = reference.Stated
	Confirmed  = reference.Confirmed
	Computed   = reference.Computed
	SecondHand = reference.SecondHand
	Practice   = reference.Practice
	OwnChoice  = reference.OwnChoice
	FromMemory = reference.FromMemory
	Disputed   = reference.Disputed
)

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

type terminalRow struct {
	kind    EndKind
	width   float64 // mm
	area    float64 // of the lead on it
	amperes float64
	quoted  Quoted
}

type tableSet struct {
	terminals  []terminalRow
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
		row        func(r *reference.Row)
	}{
		{"iec60228", "mm2,class5,class5_tinned,class2,source,status", func(r *reference.Row) {
			t.wires = append(t.wires, wireRow{r.Number(), r.Number(), r.Number(), r.Number(), quotedOf(r)})
		}},
		{"ampacity", "table,size,insulation,amperes,source,status", func(r *reference.Row) {
			name := r.Text()
			size := sizeOf(r)
			t.ampacities = append(t.ampacities, ampacityRow{name, float64(size.Area), size.Gauge, r.Number(), r.Number(), quotedOf(r)})
		}},
		{"derating", "table,kind,from,to,insulation,factor,source,status", func(r *reference.Row) {
			t.deratings = append(t.deratings, deratingRow{r.Text(), r.Text(), r.Optional(math.Inf(-1)), r.Optional(math.Inf(1)), r.Optional(math.NaN()), r.Number(), quotedOf(r)})
		}},
		{"terminals", "kind,width_mm,size,amperes,source,status", func(r *reference.Row) {
			t.terminals = append(t.terminals, terminalRow{EndKind(r.Text()), r.Number(), float64(sizeOf(r).Area), r.Number(), quotedOf(r)})
		}},
		{"fuse-gates", "kind,from_A,to_A,percent,min_s,max_s,source,status", func(r *reference.Row) {
			t.gates = append(t.gates, gateRow{r.Text(), r.Number(), r.Number(), r.Number(), r.Optional(math.NaN()), r.Optional(math.NaN()), quotedOf(r)})
		}},
		{"fuse-kinds", "kind,volts,breaking_A,source,status", func(r *reference.Row) {
			t.fuseKinds = append(t.fuseKinds, fuseKindRow{r.Text(), r.Number(), r.Number(), quotedOf(r)})
		}},
		{"fuse-placement", "rule,metres,sheathed,source,status", func(r *reference.Row) {
			t.placements = append(t.placements, placementRow{r.Text(), r.Number(), r.Text() == "yes", quotedOf(r)})
		}},
		{"ferrules", "mm2,colour,pin_mm,strip_mm,source,colour_status,length_status", func(r *reference.Row) {
			t.ferrules = append(t.ferrules, ferruleRow{r.Number(), r.Text(), r.Optional(math.NaN()), r.Optional(math.NaN()), r.Text(), r.Status(), r.Status()})
		}},
		{"crimp-terminals", "colour,from_mm2,to_mm2,from_awg,to_awg,source,status", func(r *reference.Row) {
			t.crimps = append(t.crimps, crimpRow{r.Text(), r.Number(), r.Number(), int(r.Number()), int(r.Number()), quotedOf(r)})
		}},
	} {
		if err := reference.Read(files, "tables/"+table.name+".csv", table.head, table.row); err != nil {
			return nil, err
		}
	}
	return t, nil
}

func sizeOf(r *reference.Row) Size {
	q, err := quantity.ParseAs(r.Text(), quantity.Area)
	if err != nil {
		r.Fail(err)
	}
	return SizeOf(q)
}

func quotedOf(r *reference.Row) Quoted {
	source, status := r.Quoted()
	return Quoted{source, status}
}
