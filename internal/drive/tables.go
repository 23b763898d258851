package drive

import (
	"embed"
	"fmt"
	"io/fs"
	"math"
	"strings"
	"sync"

	"voltwright/internal/quantity"
	"voltwright/internal/reference"
)

//go:embed tables/*.csv
var tableFiles embed.FS

// Surface is what a wheel rolls on, with the range of its rolling coefficient
// (force over weight) and where that comes from. Add a row to tables/surfaces.csv
// to add one.
type Surface struct {
	Name      string // short
	Ground    string // the ground alone, in a note's words: steel-rail, concrete, asphalt, paving, gravel, packed-soil, grass, sand
	Title     string // wheel and ground, as the source has it
	Low, High float64
	Source    string
	Status    reference.Status
}

// Rolling is the middle of the range, with the standard uncertainty of a
// rectangular distribution over it, (high − low)/√12 (GUM 4.3.7). A row with one
// value only leaves the uncertainty unknown.
func (s Surface) Rolling() quantity.Measured[quantity.Number] {
	m := quantity.Of(quantity.Number((s.Low+s.High)/2), quantity.Number((s.High-s.Low)/math.Sqrt(12)))
	if s.Low == s.High {
		m.U = quantity.Number(math.NaN())
	}
	return m
}

// SpeedRule is a speed that somebody keeps to on a small railway. It is that
// owner's rule and no limit of ours: the published ones differ by a factor of two.
type SpeedRule struct {
	Who, Rule string
	Speed     quantity.MetresPerSecond // NaN: no number is given
	Source    string
	Status    reference.Status
}

// Adhesion is the grip of a wheel on a rail: the greatest pull or braking force
// over the weight on the wheels that pull or brake.
type Adhesion struct {
	State     string
	Low, High float64
	Source    string
	Status    reference.Status
}

// Reaction is a time between seeing a need to stop and braking.
type Reaction struct {
	Who    string
	Time   quantity.Seconds
	Source string
	Status reference.Status
}

// ChildMass is the mass that 19 of 20 children of an age do not exceed.
type ChildMass struct {
	Age    int // years
	Mass   quantity.Kilograms
	Source string
	Status reference.Status
}

type tableSet struct {
	children  []ChildMass
	surfaces  []Surface
	speeds    []SpeedRule
	adhesions []Adhesion
	reactions []Reaction
}

var loadTables = sync.OnceValues(func() (*tableSet, error) { return readTables(tableFiles) })

func tables() *tableSet {
	t, err := loadTables()
	if err != nil {
		panic(err) // the files are embedded and a test reads them
	}
	return t
}

// Surfaces lists the surfaces in the order of the table.
func Surfaces() []Surface { return append([]Surface(nil), tables().surfaces...) }

// SpeedRules lists the speeds kept to on small railways.
func SpeedRules() []SpeedRule { return append([]SpeedRule(nil), tables().speeds...) }

// Adhesions lists the grip of steel wheels on rails.
func Adhesions() []Adhesion { return append([]Adhesion(nil), tables().adhesions...) }

// ChildMassAt is the mass at the 95th centile of an age in whole years; false for an
// age that the table, 2 to 18 years, does not have.
func ChildMassAt(age int) (ChildMass, bool) {
	for _, c := range tables().children {
		if c.Age == age {
			return c, true
		}
	}
	return ChildMass{}, false
}

// The states of rails in the table of adhesions, from best to worst.
const (
	DryRail   = "dry"
	WetRail   = "wet"  // rinsed by rain
	DampRail  = "damp" // dew, mist, first drops
	LeafyRail = "leaves"
)

// AdhesionOn is the grip on rails in a state; a state that the table lacks is a
// fault and panics.
func AdhesionOn(state string) Adhesion {
	for _, a := range tables().adhesions {
		if a.State == state {
			return a
		}
	}
	panic("drive: no rails are " + state)
}

// ReactionOf is the row of the table with a time; a time that it lacks is a fault and panics.
func ReactionOf(t quantity.Seconds) Reaction {
	for _, r := range tables().reactions {
		if r.Time == t {
			return r
		}
	}
	panic(fmt.Sprintf("drive: no reaction time of %v s", float64(t)))
}

// Reactions lists published reaction times, of drivers on roads.
func Reactions() []Reaction { return append([]Reaction(nil), tables().reactions...) }

// SurfaceNamed finds a surface by its short name. A name that is none is an error that lists the known ones.
func SurfaceNamed(name string) (Surface, error) {
	var known []string
	for _, s := range tables().surfaces {
		if s.Name == name {
			return s, nil
		}
		known = append(known, s.Name)
	}
	return Surface{}, fmt.Errorf("no surface is called %q; known are %s", name, strings.Join(known, ", "))
}

// SurfacesOn lists the surfaces with a ground, for who knows the ground and not
// yet the wheel. On rails the full-size row and the one for small wheels differ
// tenfold, so a single guess would hide more than it tells.
func SurfacesOn(ground string) []Surface {
	var out []Surface
	for _, s := range tables().surfaces {
		if s.Ground == ground {
			out = append(out, s)
		}
	}
	return out
}

// readTables is strict: a row that is short, a number that is none, or a value
// without source or status is an error that names file and row.
func readTables(files fs.FS) (*tableSet, error) {
	t := new(tableSet)
	for _, table := range []struct {
		name string
		head string
		row  func(r *reference.Row)
	}{
		{"surfaces", "name,ground,surface,low,high,source,status", func(r *reference.Row) {
			x := Surface{Name: r.Text(), Ground: r.Text(), Title: r.Text(), Low: r.Number(), High: r.Number()}
			x.Source, x.Status = r.Quoted()
			t.surfaces = append(t.surfaces, x)
		}},
		{"speeds", "who,rule,km/h,mph,source,status", func(r *reference.Row) {
			who, rule, kmh, _ := r.Text(), r.Text(), r.Optional(math.NaN()), r.Optional(math.NaN())
			x := SpeedRule{Who: who, Rule: rule, Speed: quantity.MetresPerSecond(kmh / 3.6)}
			x.Source, x.Status = r.Quoted()
			t.speeds = append(t.speeds, x)
		}},
		{"child-mass", "age,kg,source,status", func(r *reference.Row) {
			x := ChildMass{Age: int(r.Number()), Mass: quantity.Kilograms(r.Number())}
			x.Source, x.Status = r.Quoted()
			t.children = append(t.children, x)
		}},
		{"adhesion", "state,low,high,source,status", func(r *reference.Row) {
			x := Adhesion{State: r.Text(), Low: r.Number(), High: r.Number()}
			x.Source, x.Status = r.Quoted()
			t.adhesions = append(t.adhesions, x)
		}},
		{"reactions", "who,seconds,source,status", func(r *reference.Row) {
			x := Reaction{Who: r.Text(), Time: quantity.Seconds(r.Number())}
			x.Source, x.Status = r.Quoted()
			t.reactions = append(t.reactions, x)
		}},
	} {
		if err := reference.Read(files, "tables/"+table.name+".csv", table.head, table.row); err != nil {
			return nil, err
		}
	}
	return t, nil
}
