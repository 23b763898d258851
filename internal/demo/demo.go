// Package demo makes the run logs of the demo journal in content/. Nothing in them was measured: the club, its line
// and its vehicles are invented, and every log is the output of the small simulation in this package.
//
// The simulation is honest as far as it goes. A pack is an open-circuit voltage curve, an ohmic resistance and one
// resistor and capacitor in parallel, both growing towards empty, and one lump of heat; packs in parallel share the
// current as two sources on one bus do. A vehicle is a mass on a line with grades and halts, with rolling resistance
// that wanders, motors that cost copper loss, and a driver who starts gently and brakes for halts. A meter has a gain
// error, a zero error, noise and a resolution. A logger has a dress (separators, decimal mark, time format, head) and
// faults: rows lost, a stamp repeated, a cell that cannot be, a clock that is set while it runs.
//
// What it leaves out: regeneration, hysteresis, cell imbalance, ageing, self-discharge, wind, and the difference
// between a battery's temperature inside and on its case.
//
// Logs returns the same bytes every time: each outing has its own generator with its own fixed number, and nothing
// reads the clock. The files are rounded to the meters' resolutions, but a processor whose compiler fuses
// multiplication and addition may still round a cell differently; the test compares on the machine that it runs on.
//
// To write the logs again, from the top of the repository:
//
//	go run ./internal/demo/generate
package demo

import (
	"os"
	"path/filepath"
	"slices"
)

// A log is one file of the demo journal: its path inside the journal and what makes it.
type log struct {
	path string
	make func() []byte
}

func logs() []log { return slices.Concat(shunterLogs, barrowLogs) }

// Logs makes every log of the demo journal, by its slash-separated path inside the journal.
func Logs() map[string][]byte {
	files := make(map[string][]byte)
	for _, l := range logs() {
		files[l.path] = l.make()
	}
	return files
}

// Write puts every log into the journal folder. The folders of the versions must exist. A folder that lacks is an error.
func Write(journal string) error {
	for path, text := range Logs() {
		if err := os.WriteFile(filepath.Join(journal, filepath.FromSlash(path)), text, 0o644); err != nil {
			return err
		}
	}
	return nil
}
