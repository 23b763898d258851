package app

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing/fstest"

	"github.com/rogpeppe/go-internal/txtar"
)

// unpack lays out a journal of testdata/rules.
func unpack(base, dir string) error {
	a, err := txtar.ParseFile(filepath.Join("testdata/rules", base+".txtar"))
	if err != nil {
		return err
	}
	for _, f := range a.Files {
		if err := put(filepath.Join(dir, filepath.FromSlash(f.Name)), f.Data); err != nil {
			return err
		}
	}
	return nil
}

func put(path string, data []byte) error {
	return errors.Join(os.MkdirAll(filepath.Dir(path), 0o755), os.WriteFile(path, data, 0o644))
}

var errNoChange = errors.New("this is no change")

// applyTo takes one step towards a case's folder: a command that is run, or a change of a file.
func applyTo(dir, change string) error {
	name, rest, _ := strings.Cut(change, " ")
	if name == "run" {
		return prepare(dir, wordsOf(rest))
	}
	verb, rest, _ := strings.Cut(rest, " ")
	path := filepath.Join(dir, filepath.FromSlash(name))
	var size int
	switch verb {
	case "remove":
		return os.RemoveAll(path)
	case "rows":
		return damage(path, strings.Fields(rest))
	case "fill", "grow", "repeat":
		number, after, _ := strings.Cut(rest, " ")
		n, err := strconv.Atoi(number)
		if err != nil {
			return err
		}
		size, rest = n, after
	}
	var texts []string
	for rest = strings.TrimSpace(rest); rest != ""; rest = strings.TrimSpace(rest) {
		quoted, err := strconv.QuotedPrefix(rest)
		if err != nil {
			return err
		}
		text, err := strconv.Unquote(quoted)
		if err != nil {
			return err
		}
		texts, rest = append(texts, text), rest[len(quoted):]
	}
	switch {
	case verb == "grow":
		return os.Truncate(path, int64(size))
	case len(texts) == 0:
		return errNoChange
	case verb == "link":
		return errors.Join(os.MkdirAll(filepath.Dir(path), 0o755), os.Symlink(texts[0], path))
	case verb == "move":
		return os.Rename(path, filepath.Join(dir, filepath.FromSlash(texts[0])))
	case verb == "write":
		return put(path, []byte(texts[0]))
	case verb == "made" && madeLogs[texts[0]] != nil:
		return put(path, []byte(madeLogs[texts[0]]()))
	case verb == "fill":
		return put(path, append([]byte(texts[0]), bytes.Repeat([]byte(" "), size-len(texts[0]))...))
	}
	was, err := os.ReadFile(path)
	if err != nil && !(verb == "repeat" && errors.Is(err, fs.ErrNotExist)) {
		return err
	}
	switch {
	case verb == "repeat":
		return put(path, append(was, strings.Repeat(texts[0], size)...))
	case verb == "append":
		return put(path, append(was, texts[0]...))
	case len(texts) == 2 && !bytes.Contains(was, []byte(texts[0])):
		return errors.New("these words are not there")
	case verb == "replace" && len(texts) == 2:
		return put(path, bytes.Replace(was, []byte(texts[0]), []byte(texts[1]), 1))
	case verb == "replace-all" && len(texts) == 2:
		return put(path, bytes.ReplaceAll(was, []byte(texts[0]), []byte(texts[1])))
	}
	return errNoChange
}

// wordsOf cuts a command into its words; one in quotes may hold blanks.
func wordsOf(line string) []string {
	var words []string
	for line = strings.TrimSpace(line); line != ""; line = strings.TrimSpace(line) {
		word, _, _ := strings.Cut(line, " ")
		said := word
		if quoted, err := strconv.QuotedPrefix(line); err == nil {
			word = quoted
			said, _ = strconv.Unquote(quoted) // it is one
		}
		words, line = append(words, said), line[len(word):]
	}
	return words
}

// theBag is a bag that the command archive made of the small journal, once for all cases.
var theBag = sync.OnceValues(func() (fs.FS, error) {
	made := fstest.MapFS{}
	dir, err := os.MkdirTemp("", "bag")
	if err != nil {
		return nil, err
	}
	err = errors.Join(unpack("small", filepath.Join(dir, "journal")), prepare(dir, []string{"archive", "--journal", "./journal", "cart/1-first", "--to", "./bag"}))
	if err == nil {
		err = fs.WalkDir(os.DirFS(filepath.Join(dir, "bag")), ".", func(name string, d fs.DirEntry, err error) error {
			if err != nil || d.IsDir() {
				return err
			}
			data, err := os.ReadFile(filepath.Join(dir, "bag", filepath.FromSlash(name)))
			made[name] = &fstest.MapFile{Data: data, Mode: 0o644}
			return err
		})
	}
	return made, errors.Join(err, os.RemoveAll(dir))
})

// inFolder puts a folder in the place of `.` in the words of a command.
func inFolder(dir string, words []string) []string {
	args := slices.Clone(words)
	for i, a := range args {
		if a == "." || strings.HasPrefix(a, "./") {
			args[i] = filepath.Join(dir, filepath.FromSlash(a))
		}
	}
	return args
}

// prepare runs a command that a case needs before the one that it asks, and which must go well.
func prepare(dir string, words []string) error {
	var complaints bytes.Buffer
	if status := Main(inFolder(dir, words), strings.NewReader(""), io.Discard, &complaints); status != 0 {
		return fmt.Errorf("status %d: %s", status, complaints.String())
	}
	return nil
}

// damage changes the lines FROM to TO of a log, the head being line 1, in one way: drop, blank COLUMN, exchange COLUMN COLUMN,
// shrink COLUMN (a thousandth, in as many digits), scale COLUMN FACTOR, raise COLUMN BY, say COLUMN WORD, or mix EVERY BY, which
// exchanges every so manyth line with one so many lines on. Columns count from 1.
func damage(path string, words []string) error {
	text, err := os.ReadFile(path)
	if err != nil || len(words) < 3 {
		return errors.Join(errNoChange, err)
	}
	var n [4]int
	how := words[2]
	for k, word := range slices.Delete(slices.Clone(words), 2, 3) {
		if n[min(k, 3)], err = strconv.Atoi(word); err != nil && !(k == 3 && slices.Contains([]string{"scale", "raise", "say"}, how)) {
			return err
		}
	}
	separator := ","
	if bytes.Contains(text, []byte("\t")) {
		separator = "\t"
	}
	lines := strings.Split(strings.TrimSuffix(string(text), "\n"), "\n")
	from, to := n[0]-1, n[1]
	if from < 1 || to > len(lines) || from >= to {
		return fmt.Errorf("it has lines 2 to %d", len(lines))
	}
	switch how {
	case "drop":
		lines = slices.Delete(lines, from, to)
	case "mix":
		for k := from; k+n[3] < to; k += n[2] {
			lines[k], lines[k+n[3]] = lines[k+n[3]], lines[k]
		}
	default:
		for k := from; k < to; k++ {
			cells := strings.Split(lines[k], separator)
			at := n[2] - 1
			switch how {
			case "blank":
				cells[at] = ""
			case "exchange":
				cells[at], cells[n[3]-1] = cells[n[3]-1], cells[at]
			case "shrink":
				cells[at] = "0.00" + strings.Replace(cells[at], ".", "", 1)
			case "say":
				cells[at] = words[4]
			case "scale", "raise":
				x, errX := strconv.ParseFloat(cells[at], 64)
				by, errBy := strconv.ParseFloat(words[4], 64)
				if err := errors.Join(errX, errBy); err != nil {
					return err
				}
				if how == "scale" {
					x *= by
				} else {
					x += by
				}
				cells[at] = strconv.FormatFloat(x, 'f', 3, 64)
			default:
				return errNoChange
			}
			lines[k] = strings.Join(cells, separator)
		}
	}
	return put(path, []byte(strings.Join(lines, "\n")+"\n"))
}

// madeLogs are logs that are sound, from which the cases about logs start.
var madeLogs = map[string]func() string{"ride": rideLog, "tester": testerLog, "way": wayLog}

// rideLog is a ride of twenty minutes with everything that a logger can write twice: two times, a power, counters, a speed and a distance.
func rideLog() string {
	var b strings.Builder
	b.WriteString("time (s),clock,voltage (V),current (A),power (W),charge used (Ah),energy used (Wh),speed (km/h),distance (m),temperature (°C)\n")
	charge, energy, way := 0.0, 0.0, 0.0
	for k := range 600 {
		t := float64(2 * k)
		current, speed := 9+3*math.Sin(t/40), 6+math.Sin(t/70)
		switch {
		case k%100 < 6:
			current, speed = 0.05, 0
		case k%100 > 90:
			current = -2
		}
		voltage := 26.4 - 0.9*t/1200 - 0.06*current
		fmt.Fprintf(&b, "%.0f,2026-05-03T10:%02d:%02dZ,%.3f,%.3f,%.2f,%.5f,%.4f,%.2f,%.2f,%.2f\n",
			t, int(t)/60, int(t)%60, voltage, current, voltage*current, charge, energy, speed, way, 17+t/400)
		charge, energy, way = charge+current*2/3600, energy+voltage*current*2/3600, way+speed/3.6*2
	}
	return b.String()
}

// testerLog is the file of a tester: steps with a time of their own, a state, counters that start again at each step; it holds
// two discharges and a charge.
func testerLog() string {
	var b strings.Builder
	b.WriteString("Test Time (min)\tStep\tStep Time (min)\tState\tCurrent (A)\tVoltage (V)\tCapacity (Ah)\tEnergy (Wh)\n")
	minute := 0.0
	for step, s := range []struct {
		state    string
		current  float64
		minutes  int
		from, to float64
	}{
		{"Rest", 0, 10, 3.9, 3.9}, {"Discharge", -2.5, 110, 4.1, 3.2}, {"Rest", 0, 30, 3.9, 3.9}, {"Charge", 1.8, 150, 3.5, 4.2},
		{"Rest", 0, 20, 3.9, 3.9}, {"Discharge", -2.5, 100, 4.1, 3.2}, {"Rest", 0, 15, 3.9, 3.9},
	} {
		charge, energy := 0.0, 0.0
		for k := range 2 * s.minutes {
			voltage := s.from + (s.to-s.from)*float64(k)/float64(2*s.minutes)
			fmt.Fprintf(&b, "%.2f\t%d\t%.2f\t%s\t%.4f\t%.4f\t%.6f\t%.6f\n", minute, step+1, float64(k)/2, s.state, s.current, voltage, charge, energy)
			charge, energy = charge+math.Abs(s.current)/120, energy+math.Abs(s.current)*voltage/120
			minute += 0.5
		}
	}
	return b.String()
}

// wayLog is a ride with positions, a speed and no distance.
func wayLog() string {
	var b strings.Builder
	b.WriteString("time (s),latitude,longitude,speed (m/s),voltage (V),current (A)\n")
	for k := range 300 {
		fmt.Fprintf(&b, "%d,%.7f,10.0000000,2.00,%.2f,%.2f\n", k, 50+float64(k)*2/111195, 25.5-float64(k)/1000, 5+math.Sin(float64(k)/9))
	}
	return b.String()
}
