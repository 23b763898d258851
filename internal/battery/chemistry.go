package battery

import (
	"bytes"
	"embed"
	"encoding/json"
	"fmt"
	"io/fs"
	"path"
	"slices"
	"strings"
	"sync"

	"voltwright/internal/quantity"
	"voltwright/internal/reference"
)

//go:embed chemistries/*.json
var chemistryFiles embed.FS

// Fact is one value of a chemistry's data file with where it comes from.
type Fact struct {
	Value float64 `json:"value"`
	U     float64 `json:"u,omitempty"` // standard uncertainty; for a positive factor, of its logarithm
	Quoted
}

// Quoted is where a value is from and how far it can be trusted.
type Quoted struct {
	Source string           `json:"source"`
	Status reference.Status `json:"status"`
}

// String is the source with its status behind it, as callouts and pages print it.
func (q Quoted) String() string { return q.Source + " (" + string(q.Status) + ")" }

// Chemistry is what is typical of one sort of cell. Voltages are of one cell;
// rates are per hour of capacity (0.5 is half the capacity in amperes).
// Adding a chemistry is adding a file to the folder chemistries.
type Chemistry struct {
	Name   string          `json:"name"` // as in a version's front matter
	Title  string          `json:"title"`
	Family string          `json:"family"` // lithium-ion, sodium-ion, lead-acid, nickel
	Facts  map[string]Fact `json:"facts"`
	OCV    struct {
		Quoted
		Points [][2]float64 `json:"points"` // state of charge, V
	} `json:"ocv"`
	CapacityTemperature *struct {
		Quoted
		Points [][2]float64 `json:"points"` // °C, fraction of the rated capacity
	} `json:"capacity-temperature,omitempty"`
	CycleLife struct {
		Quoted
		Points []CyclesAt `json:"points"`
	} `json:"cycle-life"`
	ChargeWindows *Windows `json:"charge-windows,omitempty"`
	Floors        *struct {
		Quoted
		Points [][2]float64 `json:"points"` // rate below which, V: the end voltage by rate
	} `json:"floors,omitempty"`

	// Own is the data sheet of the cells at hand, where one is stated; its values
	// stand in Facts and ChargeWindows in place of what is typical.
	Own string `json:"-"`

	curve  *Curve
	plates bool
}

// CyclesAt is how many cycles of one depth of discharge are typical. Without a
// High the source says no more than that it is beyond Low at every depth from this
// one to the point before.
type CyclesAt struct {
	Depth float64 `json:"depth"`
	Low   float64 `json:"low"`
	High  float64 `json:"high,omitempty"`
}

// wanted are the facts that every chemistry states.
var wanted = strings.Fields(`full-voltage nominal-voltage datasheet-floor conservative-floor
	charge-rate charge-rate-limit taper-rate charge-lowest-temperature charge-highest-temperature
	discharge-lowest-temperature discharge-highest-temperature storage-charge charge-return
	ohmic branch-share slow-share branch-time slow-time lag-time activation-ohmic activation-branch activation-lag
	entropic heat-capacity cooling-time ocv-volts-spread ocv-charge-spread capacity-spread`)

// may are the facts that some chemistries state.
var may = strings.Fields(`float-voltage boost-voltage danger-voltage scrap-voltage compensation storage-lowest peukert rated-hours acceptance-time`)

var loadChemistries = sync.OnceValues(func() (map[string]*Chemistry, error) {
	return ReadChemistries(chemistryFiles)
})

// Chemistries lists the built-in chemistries by name.
func Chemistries() []*Chemistry {
	all, err := loadChemistries()
	if err != nil {
		panic(err) // the files are embedded and a test reads them
	}
	out := make([]*Chemistry, 0, len(all))
	for _, c := range all {
		out = append(out, c)
	}
	slices.SortFunc(out, func(a, b *Chemistry) int { return strings.Compare(a.Name, b.Name) })
	return out
}

// ChemistryNamed finds a built-in chemistry. A name that is none is an error that lists the known ones.
func ChemistryNamed(name string) (*Chemistry, error) {
	var names []string
	for _, c := range Chemistries() {
		if c.Name == name {
			return c, nil
		}
		names = append(names, c.Name)
	}
	return nil, fmt.Errorf("no chemistry is called %q; known are %s", name, strings.Join(names, ", "))
}

// ReadChemistries reads every chemistries/*.json of a file system. It is strict:
// an unknown key, a missing fact, a fact without source or status, or a curve
// that is none is an error that names the file.
func ReadChemistries(files fs.FS) (map[string]*Chemistry, error) {
	names, err := fs.Glob(files, "chemistries/*.json")
	if err != nil {
		return nil, err
	}
	all := map[string]*Chemistry{}
	for _, name := range names {
		text, err := fs.ReadFile(files, name)
		if err != nil {
			return nil, err
		}
		c, err := parseChemistry(text)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", name, err)
		}
		if c.Name != strings.TrimSuffix(path.Base(name), ".json") {
			return nil, fmt.Errorf("%s: holds a chemistry called %q", name, c.Name)
		}
		all[c.Name] = c
	}
	return all, nil
}

func parseChemistry(text []byte) (*Chemistry, error) {
	c := new(Chemistry)
	d := json.NewDecoder(bytes.NewReader(text))
	d.DisallowUnknownFields()
	if err := d.Decode(c); err != nil {
		return nil, err
	}
	for _, name := range wanted {
		if _, ok := c.Facts[name]; !ok {
			return nil, fmt.Errorf("the fact %q is missing", name)
		}
	}
	for name := range c.Facts {
		if !slices.Contains(wanted, name) && !slices.Contains(may, name) {
			return nil, fmt.Errorf("no fact is called %q", name)
		}
	}
	for name, q := range c.quoted() {
		if err := reference.Sound(q.Source, q.Status); err != nil {
			return nil, fmt.Errorf("%s: %w", name, err)
		}
	}
	var soc, volts []float64
	for _, p := range c.OCV.Points {
		soc, volts = append(soc, p[0]), append(volts, p[1])
	}
	var err error
	if c.curve, err = NewCurve(soc, volts); err != nil {
		return nil, err
	}
	c.plates = c.ChargeWindows != nil
	// The points of lead-acid and nickel end at empty without the fall beyond it.
	c.curve.under = max(c.curve.under, fallBelowEmpty*c.value("nominal-voltage"))
	return c, nil
}

// fallBelowEmpty is how fast an empty cell's voltage falls away, in nominal
// voltages per capacity: the sourced lithium-ion curves have 5 to 11 at their low
// end. From memory for the others.
const fallBelowEmpty = 5

// quoted is every source of the chemistry's file with its status, by name.
func (c *Chemistry) quoted() map[string]Quoted {
	out := map[string]Quoted{"ocv": c.OCV.Quoted, "cycle-life": c.CycleLife.Quoted}
	for name, f := range c.Facts {
		out[name] = f.Quoted
	}
	if t := c.CapacityTemperature; t != nil {
		out["capacity-temperature"] = t.Quoted
	}
	if w := c.ChargeWindows; w != nil {
		out["charge-windows"] = w.Quoted
	}
	if f := c.Floors; f != nil {
		out["floors"] = f.Quoted
	}
	return out
}

// Plates says whether lithium plates out in cells of the chemistry when they are
// charged cold, which is what windows of its own say.
func (c *Chemistry) Plates() bool { return c.plates }

// Curve is the typical open-circuit voltage of one cell.
func (c *Chemistry) Curve() *Curve { return c.curve }

// Value is a fact's value; a name that no chemistry has is a fault and panics,
// one that this chemistry lacks gives false.
func (c *Chemistry) Value(name string) (float64, bool) {
	if !slices.Contains(wanted, name) && !slices.Contains(may, name) {
		panic("battery: no fact is called " + name)
	}
	f, ok := c.Facts[name]
	return f.Value, ok
}

func (c *Chemistry) value(name string) float64 { v, _ := c.Value(name); return v }

// Full, Nominal, DatasheetFloor and ConservativeFloor are voltages of one cell:
// at the end of a charge, as labelled, the least that data sheets allow, and the
// least under load that spares the cell.
func (c *Chemistry) Full() quantity.Volts    { return quantity.Volts(c.value("full-voltage")) }
func (c *Chemistry) Nominal() quantity.Volts { return quantity.Volts(c.value("nominal-voltage")) }
func (c *Chemistry) DatasheetFloor() quantity.Volts {
	return quantity.Volts(c.value("datasheet-floor"))
}
func (c *Chemistry) ConservativeFloor() quantity.Volts {
	return quantity.Volts(c.value("conservative-floor"))
}

// StorageVoltage is the rest voltage of one cell at the charge that suits
// storage, from the typical curve.
func (c *Chemistry) StorageVoltage() quantity.Volts {
	return quantity.Volts(c.curve.at(c.value("storage-charge")))
}

// CapacityFactor is the part of the rated capacity that is there at a
// temperature, by straight lines between the points of the chemistry's table
// and level outside them; 1 for a chemistry without a table, where cold shows
// as resistance instead.
func (c *Chemistry) CapacityFactor(t quantity.Celsius) float64 {
	if c.CapacityTemperature == nil {
		return 1
	}
	p := c.CapacityTemperature.Points
	x := float64(t)
	if x <= p[0][0] {
		return p[0][1]
	}
	for i := 1; i < len(p); i++ {
		if x <= p[i][0] {
			return p[i-1][1] + (p[i][1]-p[i-1][1])*(x-p[i-1][0])/(p[i][0]-p[i-1][0])
		}
	}
	return p[len(p)-1][1]
}
