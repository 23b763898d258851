package runlog

import (
	"bytes"
	"encoding/gob"
)

// A Result is kept between runs of the program in encoding/gob, whole: what it holds unexported goes through the types here.

type resultFields Result // without the methods

type keptResult struct {
	Fields         *resultFields
	Missing, Notes map[string]string
}

// GobEncode implements gob.GobEncoder. The error is gob's.
func (r *Result) GobEncode() ([]byte, error) {
	var b bytes.Buffer
	err := gob.NewEncoder(&b).Encode(keptResult{(*resultFields)(r), r.missing, r.notes})
	return b.Bytes(), err
}

// GobDecode implements gob.GobDecoder. What gob did not write of this type is an error.
func (r *Result) GobDecode(data []byte) error {
	k := keptResult{Fields: (*resultFields)(r)}
	if err := gob.NewDecoder(bytes.NewReader(data)).Decode(&k); err != nil {
		return err
	}
	*r = Result(*k.Fields)
	r.missing, r.notes = k.Missing, k.Notes
	if r.missing == nil {
		r.missing = map[string]string{}
	}
	if r.notes == nil {
		r.notes = map[string]string{}
	}
	return nil
}

type seriesFields Series

type keptSeries struct {
	Fields *seriesFields
	Rows   []keptStretch
	Peak   float64
	Warmth *Trace
}

type keptStretch struct {
	From, To, Charge, Low, High, Begin, Volt, Area, Since float64
	Gap                                                   bool
}

// GobEncode implements gob.GobEncoder.
func (s *Series) GobEncode() ([]byte, error) {
	k := keptSeries{Fields: (*seriesFields)(s), Peak: s.peak, Warmth: s.temp}
	for _, r := range s.rows {
		k.Rows = append(k.Rows, keptStretch{r.from, r.to, r.charge, r.low, r.high, r.begin, r.volt, r.area, r.since, r.gap})
	}
	var b bytes.Buffer
	err := gob.NewEncoder(&b).Encode(k)
	return b.Bytes(), err
}

// GobDecode implements gob.GobDecoder.
func (s *Series) GobDecode(data []byte) error {
	k := keptSeries{Fields: (*seriesFields)(s)}
	if err := gob.NewDecoder(bytes.NewReader(data)).Decode(&k); err != nil {
		return err
	}
	*s = Series(*k.Fields)
	s.peak, s.temp = k.Peak, k.Warmth
	for _, r := range k.Rows {
		s.rows = append(s.rows, stretch{r.From, r.To, r.Charge, r.Low, r.High, r.Begin, r.Volt, r.Area, r.Since, r.Gap})
	}
	return nil
}
