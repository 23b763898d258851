package runlog

import (
	"bytes"
	"io"

	"voltwright/internal/finding"
)

// Measure reads a log and gives its results, in one pass and in bounded memory. src is where findings point; it may be nil.
// An error means that reading failed. A log that cannot be understood gives a Result in which every figure is missing, and
// findings that say why.
//
// A part of a log is measured in two passes, the first of which finds the parts; for that, a reader that is no io.Seeker
// is held in memory.
func Measure(src *finding.Source, r io.Reader, o Options) (*Result, []finding.Finding, error) {
	if src == nil {
		src = finding.NewStream("log")
	}
	if o.Part == "" {
		return measureRows(src, r, o, 0, 0)
	}
	again, ok := r.(io.ReadSeeker)
	if !ok {
		text, err := io.ReadAll(r)
		if err != nil {
			return nil, nil, err
		}
		again = bytes.NewReader(text)
	}
	whole := o
	whole.OneRun = false
	result, found, err := measureRows(src, again, whole, 0, 0)
	if err != nil || len(result.Parts) == 0 && !result.Elapsed.Known() {
		return result, found, err // it cannot be read, which is said already
	}
	first, last, ok := chosenRows(result.Parts, o.Part)
	if !ok {
		return result, append(found, unknownPart(result.Parts, o.Part, src)), nil
	}
	if _, err := again.Seek(0, io.SeekStart); err != nil {
		return nil, nil, err
	}
	parts := result.Parts
	result, found, err = measureRows(src, again, o, first, last)
	if result != nil {
		result.Parts = parts
	}
	return result, found, err
}

// measureRows measures the rows of these lines; all of them where last is 0.
func measureRows(src *finding.Source, r io.Reader, o Options, first, last int) (*Result, []finding.Finding, error) {
	scanner, err := NewScanner(src, r, o)
	if err != nil {
		return nil, nil, err
	}
	meter := NewMeter(o)
	meter.source, meter.from, meter.to = src, first, last
	meter.opinions.dialect = scanner.Dialect()
	if last == 0 {
		for scanner.fill(meter.block, meter.Add) {
			meter.measure(false)
		}
	}
	for last > 0 {
		sample, ok := scanner.Next()
		if !ok {
			break
		}
		meter.Add(sample)
	}
	if err := scanner.Err(); err != nil {
		return nil, nil, err
	}
	meter.digit = scanner.spread.grain()
	result, found := meter.Result()
	result.Dialect = scanner.Dialect().String()
	result.account(scanner.Accounts(), meter)
	found = append(found, result.mostlyLeftOut(src)...)
	return result, append(scanner.Findings(), found...), nil
}
