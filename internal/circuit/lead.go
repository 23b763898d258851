package circuit

import (
	"strings"

	"voltwright/internal/quantity"
)

// Terminal names one terminal of one part.
type Terminal struct{ Part, Name string }

// ParseTerminal reads "part:terminal", as in "main:+" or "fuse:out".
func ParseTerminal(text string) (t Terminal, ok bool) {
	part, name, ok := strings.Cut(text, ":")
	return Terminal{strings.TrimSpace(part), strings.TrimSpace(name)}, ok
}

// String is the terminal as a note writes it, PART:NAME.
func (t Terminal) String() string { return t.Part + ":" + t.Name }

// Size is a cross-section as it was written: by gauge or in mm². A gauge is
// made of its own copper, a metric size by the resistance that the standard
// allows, so 12 AWG and 3.31 mm² are not the same lead.
type Size struct {
	Area  quantity.SquareMillimetres
	Gauge bool // Area is that of a gauge
}

// Gauge is the size of gauge n: 12, or 0, −1, −2 and −3 for 1/0 to 4/0.
func Gauge(n int) Size { return Size{quantity.GaugeArea(n), true} }

// Metric is a size in mm².
func Metric(area quantity.SquareMillimetres) Size { return Size{Area: area} }

// SizeOf takes a size from what was written: "12 AWG" or "2.5 mm²".
func SizeOf(q quantity.Quantity) Size {
	return Size{quantity.SquareMillimetres(q.Value), q.Unit == "AWG"}
}

// String is the size as it was written: "12 AWG", "2.5 mm²".
func (s Size) String() string {
	q := quantity.Quantity{Dimension: quantity.Area, Value: float64(s.Area), Unit: "mm²", Decimals: -1}
	if s.Gauge {
		q.Unit = "AWG"
	}
	return q.String()
}

// Class is the class of a conductor by IEC 60228; the zero Class is Flexible.
type Class uint8

// Classes of conductors.
const (
	Solid         Class = 1
	Stranded      Class = 2
	Flexible      Class = 5
	ExtraFlexible Class = 6
)

// EndKind is how an end of a lead is made up.
type EndKind string

// Ends of leads; the empty EndKind was not stated.
const (
	Ferrule   EndKind = "ferrule"
	Ring      EndKind = "ring"
	Spade     EndKind = "spade"
	Solder    EndKind = "solder"
	Crimp     EndKind = "crimp" // the contact of a connector, or a butt splice
	Bare      EndKind = "bare"
	NotStated EndKind = ""
)

// End is one end of a lead.
type End struct {
	Kind EndKind
	For  string // what it goes on or over, as written: "M6", "6.3 mm"
}

// Lead is one conductor between two terminals.
type Lead struct {
	From, To   Terminal
	Size       Size
	Class      Class
	Tinned     bool
	Insulation quantity.Celsius // the temperature that the insulation stands; 0: not stated
	Length     quantity.Metres  // 0: not stated
	Colour     string           // a word: "red"
	Stripe     string
	EndA, EndB End              // at From and at To
	Bundle     int              // conductors that run together, this one included; 0: alone
	Ambient    quantity.Celsius // around it; 0: not stated, and 20 °C for its resistance, 30 °C for its ampacity
	Sheathed   bool             // in a sheath or conduit the whole way
	Label      string
}

// AssumedAmbient is the temperature of a lead that states none: 20 °C, at which
// resistances are tabled.
const AssumedAmbient quantity.Celsius = 20

func (l *Lead) temperature() quantity.Celsius {
	if l.Ambient != 0 {
		return l.Ambient
	}
	return AssumedAmbient
}
