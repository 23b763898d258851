package quantity

import "errors"

// ParseError says what is wrong with a value as written. Its text names no
// position; Offset does, for whoever knows where Text stands.
type ParseError struct {
	Text    string // the whole text that was to be read
	Offset  int    // byte offset in Text of what is wrong
	Reason  string
	Nearest string // the nearest known unit, "" if none is near
}

func (e *ParseError) Error() string {
	if e.Nearest == "" {
		return e.Reason
	}
	return e.Reason + "; the nearest is " + e.Nearest
}

func Parse(text string) (Quantity, error)                { return Quantity{}, errors.New("unread") }
func ParseAs(text string, d Dimension) (Quantity, error) { return Quantity{}, errors.New("unread") }

type Parts struct{ Value, Plus, Unit string }

func (q Quantity) String() string                     { return "" }
func (q Quantity) Rounded() string                    { return "" }
func (q Quantity) Parts() Parts                       { return Parts{} }
func (q Quantity) PartsIn(unit string) (Parts, error) { return Parts{}, nil }
func (q Quantity) Customary() (Quantity, bool)        { return q, false }
func (q Quantity) Metric() (Quantity, bool)           { return q, false }
func (q Quantity) In(unit string) (Quantity, error)   { return q, nil }

type Accuracy struct {
	Fraction float64
	Digits   float64
	Absolute Quantity
}

func ParseAccuracy(text string) (Accuracy, error)               { return Accuracy{}, errors.New("unread") }
func (a Accuracy) Standard(reading, resolution float64) float64 { return 0 }
func Clock(s Seconds, resolution Seconds) string                { return "" }
