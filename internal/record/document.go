package record

import "encoding/json"

// Vocabulary is the number of this vocabulary, in the head of every document. It rises with a name or a meaning that
// changes, not with one that is added.
const Vocabulary = 2

// Head begins every document.
type Head struct {
	Kind       Kind `json:"record"`
	Vocabulary int  `json:"vocabulary" about:"number of this vocabulary: it rises with a name or a meaning that changes"`
}

// Kind says what a document tells of.
type Kind string

// The kinds of document.
const (
	RunKind         Kind = "run"         // what was measured on a run of the journal
	MeasurementKind Kind = "measurement" // what was measured by a log, of whatever journal
	PredictionKind  Kind = "prediction"  // how long a version runs and charges
	WiringKind      Kind = "wiring"      // what a version's wiring does
	PartsKind       Kind = "parts"       // what became of a version's parts and what they come to
	AnswerKind      Kind = "answer"      // what was asked of a version
	MatrixKind      Kind = "matrix"      // how a version's runs stand by each choice of others that teach
	ValuesKind      Kind = "values"      // what sentences can quote
	BagKind         Kind = "bag"         // all documents of a version
)

// HeadOf is the head of a document of a kind.
func HeadOf(k Kind) Head { return Head{k, Vocabulary} }

// RunDocument is results.json beside a run's page.
type RunDocument struct {
	Head
	Path string `json:"run"` // of the run in the journal
	Run
}

// MeasurementDocument is what measure prints.
type MeasurementDocument struct {
	Head
	Log string `json:"log"`
	Run
	Inspection json.RawMessage `json:"inspection"` // what inspect prints of it
}

// PredictionDocument is predictions.json beside a version's page.
type PredictionDocument struct {
	Head
	Version string `json:"version"`
	Prediction
}

// WiringDocument is wiring.json beside a version's page.
type WiringDocument struct {
	Head
	Version string `json:"version"`
	Wiring
}

// PartsDocument is parts.json beside a version's page.
type PartsDocument struct {
	Head
	Version string `json:"version"`
	Parts
}

// AnswerDocument is what predict prints.
type AnswerDocument struct {
	Head
	Of      string   `json:"of"`
	Changed []string `json:"changed,omitempty"` // what was put in place of what the front matter states
	Prediction
	Drive      *Performance    `json:"drive,omitempty"`
	Wiring     *Wiring         `json:"wiring,omitempty"`
	Inspection json.RawMessage `json:"inspection"`
}

// ValuesDocument is what values prints.
type ValuesDocument struct {
	Head
	Place  string  `json:"place"`
	Values []Value `json:"values"`
}

// Value is one that a sentence can quote.
type Value struct {
	Name     string   `json:"name"`
	Target   string   `json:"target"` // what stands after value: anywhere in the journal
	Label    string   `json:"label"`
	Kind     string   `json:"kind"`
	Form     string   `json:"form"` // a number, a price, a date and so on
	Words    string   `json:"words,omitempty"`
	Number   *float64 `json:"value,omitempty" about:"in unit"`
	U        *float64 `json:"standardUncertainty,omitempty" about:"k = 1, in unit"`
	Unit     string   `json:"unit,omitempty"`
	Currency string   `json:"currency,omitempty"`
	Missing  string   `json:"missing,omitempty"`
}

// BagDocument is results/results.json of a bag: every document of the site about a version, by its address under the
// version's without .json.
type BagDocument struct {
	Head
	Version string                     `json:"version"`
	Records map[string]json.RawMessage `json:"records"`
}
