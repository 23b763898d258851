package battery

import (
	"bufio"
	"bytes"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"
)

// The measured logs that the tests use, each with its SOURCE.md and licence beside it.
const (
	warwick   = "../../testdata/logs/lg-m50-warwick/"
	panasonic = "../../testdata/logs/panasonic-18650pf/"
	bboxx     = "../../testdata/logs/bboxx-lead-acid-17ah/"
	samsung   = "../../testdata/cc-by-sa/samsung-30q-arts/"
	k2        = "../../testdata/cc-by-sa/k2-26650-lfp-arts/"
)

// table reads the rows of a delimited file that begin with a number.
func table(t testing.TB, path string) [][]float64 {
	t.Helper()
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	var rows [][]float64
	lines := bufio.NewScanner(bytes.NewReader(bytes.TrimPrefix(text, []byte("\xef\xbb\xbf"))))
	for lines.Scan() {
		fields := strings.FieldsFunc(lines.Text(), func(r rune) bool { return r == ',' || r == '\t' })
		var row []float64
		for _, f := range fields {
			v, err := strconv.ParseFloat(strings.TrimSpace(f), 64)
			if err != nil {
				break
			}
			row = append(row, v)
		}
		if len(row) >= 3 && len(row) == len(fields) {
			rows = append(rows, row)
		}
	}
	if len(rows) == 0 {
		t.Fatalf("%s has no rows of numbers", path)
	}
	return rows
}

// columns makes a log of one cell from a file; columns are counted from 0, a
// negative one is absent. The sign of the current is turned where discharge is negative.
func columns(t testing.TB, path string, time, amps, volts, temp int, sign float64) Log {
	t.Helper()
	var l Log
	for i, row := range table(t, path) {
		at := float64(i)
		if time >= 0 {
			at = row[time]
		}
		l.Time, l.Amperes, l.Volts = append(l.Time, at), append(l.Amperes, sign*row[amps]), append(l.Volts, row[volts])
		if temp >= 0 {
			l.Celsius = append(l.Celsius, row[temp])
		}
	}
	return NewLog(strings.TrimSuffix(filepath.Base(path), filepath.Ext(path)), 1, l.Time, l.Amperes, l.Volts, l.Celsius)
}

// warwickLog has the mid temperature in the last column but one, or alone.
func warwickLog(t testing.TB, name string) Log {
	temp := 4
	if strings.Contains(name, "0p1C") || strings.HasPrefix(name, "T45") {
		temp = 3
	}
	return columns(t, warwick+name+".csv", 0, 1, 2, temp, -1)
}

func samsungLog(t testing.TB, name string) Log {
	return columns(t, samsung+"Q30_S001_"+name+".csv", 0, 1, 2, 4, -1)
}

func panasonicLog(t testing.TB, name string) Log {
	return columns(t, panasonic+name+".csv", 0, 2, 1, 6, -1)
}

// bboxxLog reads a log whose temperatures stand in rows of their own.
func bboxxLog(t testing.TB, name string) Log {
	t.Helper()
	text, err := os.ReadFile(bboxx + name + ".csv")
	if err != nil {
		t.Fatal(err)
	}
	var l Log
	var start time.Time
	for line := range strings.Lines(string(text)) {
		f := strings.Split(strings.TrimSpace(line), ",")
		if len(f) < 4 || f[1] == "" || f[2] == "" {
			continue
		}
		at, err := time.Parse("2006-01-02 15:04:05.000", f[0])
		if err != nil {
			continue // the head
		}
		if start.IsZero() {
			start = at
		}
		v, err1 := strconv.ParseFloat(f[1], 64)
		i, err2 := strconv.ParseFloat(f[2], 64)
		if err1 != nil || err2 != nil {
			continue
		}
		l.Time, l.Volts, l.Amperes = append(l.Time, at.Sub(start).Seconds()), append(l.Volts, v), append(l.Amperes, i)
	}
	return NewLog(name, 6, l.Time, l.Amperes, l.Volts, nil)
}
