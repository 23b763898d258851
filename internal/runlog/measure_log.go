package runlog

import (
	"io"

	"voltwright/internal/finding"
)

// Measure reads a log and gives its results, in one pass and in bounded memory. src is where findings point; it may be nil.
// An error means that reading failed. A log that cannot be understood gives a Result in which every figure is missing, and
// findings that say why.
func Measure(src *finding.Source, r io.Reader, o Options) (*Result, []finding.Finding, error) {
	if src == nil {
		src = finding.NewStream("log")
	}
	scanner, err := NewScanner(src, r, o)
	if err != nil {
		return nil, nil, err
	}
	meter := NewMeter(o)
	meter.source = src
	for {
		sample, ok := scanner.Next()
		if !ok {
			break
		}
		meter.Add(sample)
	}
	if err := scanner.Err(); err != nil {
		return nil, nil, err
	}
	result, found := meter.Result()
	result.Dialect = scanner.Dialect().String()
	result.Skipped += scanner.Skipped()
	return result, append(scanner.Findings(), found...), nil
}
