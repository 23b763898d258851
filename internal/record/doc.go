// Package record is the one form in which results are handed on as JSON: to results.json, to whoever asks for JSON on the
// command line, and into bags. Values are in base units with standard uncertainties (k = 1), in nine digits, and null where
// a number is not known.
package record
