package finding

import (
	"io"
	"net/url"
	"path"
)

// PrintSARIF writes the findings as a log of OASIS SARIF 2.1.0. The docs are
// those of the rules that may appear; a rule without a doc is listed by its
// name alone. The folder that the findings' files lie in, separated by slashes, is
// where the command ran from, so that an editor finds them. Columns count Unicode
// code points (section 3.14.17).
func PrintSARIF(w io.Writer, version, folder string, findings []Finding, docs []Doc) error {
	run := sarifRun{ColumnKind: "unicodeCodePoints", Results: []sarifResult{}}
	run.Tool.Driver = sarifDriver{Name: "Voltwright", Version: version, Rules: []sarifRule{}}
	index := map[string]int{}
	byName := map[string]Doc{}
	for _, d := range docs {
		byName[d.Name] = d
	}
	for _, f := range findings {
		i, known := index[f.Rule]
		if !known {
			i = len(run.Tool.Driver.Rules)
			index[f.Rule] = i
			run.Tool.Driver.Rules = append(run.Tool.Driver.Rules, newSarifRule(f.Rule, byName[f.Rule]))
		}
		run.Results = append(run.Results, newSarifResult(folder, f, i))
	}
	return encode(w, sarifLog{
		Schema:  "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json",
		Version: "2.1.0",
		Runs:    []sarifRun{run},
	})
}

type sarifLog struct {
	Schema  string     `json:"$schema"`
	Version string     `json:"version"`
	Runs    []sarifRun `json:"runs"`
}

type sarifRun struct {
	Tool struct {
		Driver sarifDriver `json:"driver"`
	} `json:"tool"`
	ColumnKind string        `json:"columnKind"`
	Results    []sarifResult `json:"results"`
}

type sarifDriver struct {
	Name    string      `json:"name"`
	Version string      `json:"version,omitempty"`
	Rules   []sarifRule `json:"rules"`
}

type sarifRule struct {
	ID    string     `json:"id"`
	Short *sarifText `json:"shortDescription,omitempty"`
	Full  *sarifText `json:"fullDescription,omitempty"`
}

type sarifText struct {
	Text string `json:"text"`
}

type sarifResult struct {
	RuleID    string          `json:"ruleId"`
	RuleIndex int             `json:"ruleIndex"`
	Level     string          `json:"level"`
	Message   sarifText       `json:"message"`
	Locations []sarifLocation `json:"locations,omitempty"`
	Related   []sarifLocation `json:"relatedLocations,omitempty"`
	Also      *sarifAlso      `json:"properties,omitempty"`
}

// sarifAlso is the property bag of a callout (section 3.8).
type sarifAlso struct {
	Signal  Signal `json:"signal"`
	Numbers string `json:"numbers,omitempty"`
	Answer  string `json:"answer,omitempty"`
}

type sarifLocation struct {
	ID       *int       `json:"id,omitempty"`
	Message  *sarifText `json:"message,omitempty"`
	Physical struct {
		Artifact struct {
			URI string `json:"uri"`
		} `json:"artifactLocation"`
		Region *sarifRegion `json:"region,omitempty"`
	} `json:"physicalLocation"`
}

type sarifRegion struct {
	StartLine   int `json:"startLine"`
	StartColumn int `json:"startColumn,omitempty"`
	EndLine     int `json:"endLine,omitempty"`
	EndColumn   int `json:"endColumn,omitempty"`
}

func newSarifRule(name string, d Doc) sarifRule {
	r := sarifRule{ID: name}
	if d.Title != "" {
		r.Short = &sarifText{d.Title}
	}
	if d.What != "" {
		r.Full = &sarifText{d.What}
	}
	return r
}

func newSarifResult(folder string, f Finding, rule int) sarifResult {
	text := f.Signal.lead() + f.Text
	if f.Remedy != "" {
		text += " Remedy: " + f.Remedy
	}
	r := sarifResult{RuleID: f.Rule, RuleIndex: rule, Level: f.Level.String(), Message: sarifText{text}}
	if f.Signal != "" {
		r.Also = &sarifAlso{Signal: f.Signal, Numbers: f.Numbers}
		if f.Answer != nil {
			r.Also.Answer = f.Answer.Reason
		}
	}
	if f.Span.Source != nil {
		r.Locations = []sarifLocation{newSarifLocation(folder, f.Span)}
	}
	for i, rel := range f.Related {
		if rel.Span.Source == nil {
			continue
		}
		l := newSarifLocation(folder, rel.Span)
		l.ID, l.Message = &i, &sarifText{rel.Text}
		r.Related = append(r.Related, l)
	}
	return r
}

// newSarifLocation writes a place as a reference that is relative to where the command ran (SARIF 3.4.3), or as an address of a file.
func newSarifLocation(folder string, s Span) sarifLocation {
	var l sarifLocation
	at := url.URL{Path: path.Join(folder, s.File())}
	if path.IsAbs(folder) {
		at.Scheme = "file"
	}
	l.Physical.Artifact.URI = at.String()
	p := s.Position()
	if p.Line > 0 {
		l.Physical.Region = &sarifRegion{StartLine: p.Line, StartColumn: p.Column}
		if e := s.EndPosition(); e.Line > p.Line || e.Line == p.Line && e.Column > p.Column {
			l.Physical.Region.EndLine, l.Physical.Region.EndColumn = e.Line, e.Column
		}
	}
	return l
}
