package record

import (
	"encoding/json"

	"voltwright/internal/predict"
)

// MatrixDocument is what predict --matrix prints.
type MatrixDocument struct {
	Head
	Of         string          `json:"of"`
	Changed    []string        `json:"changed,omitempty"` // what was put in place of what the front matter states
	Error      string          `json:"error,omitempty"`
	Level      string          `json:"level" about:"at which the answer is given"`
	Volts      float64         `json:"voltage" about:"V, of the pack"`
	NotTried   int             `json:"olderRunsNotTried"`
	Checks     []Validation    `json:"checks" about:"each run by each choice of others that teach"`
	Inspection json.RawMessage `json:"inspection"`
}

// OfMatrix makes the document of a predict.Matrix.
func OfMatrix(of string, changed []string, m *predict.Matrix, inspection json.RawMessage) MatrixDocument {
	out := MatrixDocument{Head: HeadOf(MatrixKind), Of: of, Changed: changed, Error: m.Why, Level: m.Level, Volts: digits(float64(m.Volts)), NotTried: m.Left, Checks: []Validation{}, Inspection: inspection}
	for _, c := range m.Checks {
		out.Checks = append(out.Checks, ofValidation(c))
	}
	return out
}
