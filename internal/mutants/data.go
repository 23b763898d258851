package mutants

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
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
)

// number is a number in a file: where it stands and what it is.
type number struct {
	at   int
	text string
}

// changeData moves every number of the package's embedded tables.
func (c *changer) changeData() error {
	if c.Kinds&Embedded == 0 {
		return nil
	}
	var names []string
	err := filepath.WalkDir(c.Dir, func(path string, d fs.DirEntry, err error) error {
		if err == nil && d.IsDir() && d.Name() == "testdata" {
			return fs.SkipDir
		}
		if ext := filepath.Ext(path); ext == ".csv" || ext == ".json" {
			names = append(names, path)
		}
		return err
	})
	if err != nil {
		return err
	}
	slices.Sort(names)
	for _, path := range names {
		data, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		rel, err := filepath.Rel(c.Dir, path)
		if err != nil {
			return err
		}
		find := csvNumbers
		if filepath.Ext(path) == ".json" {
			find = jsonNumbers
		}
		numbers, err := find(data)
		if err != nil {
			return fmt.Errorf("%s: %w", path, err)
		}
		c.file, c.early = filepath.ToSlash(rel), true
		for _, n := range numbers {
			if guessed(data, n.at) {
				continue
			}
			c.where = fmt.Sprintf("line %d", 1+bytes.Count(data[:n.at], []byte("\n")))
			other := movedText(n.text)
			if other == n.text {
				continue
			}
			if _, ok := c.make(n.text, other); ok {
				c.made[len(c.made)-1].data = slices.Concat(data[:n.at], []byte(other), data[n.at+len(n.text):])
			}
		}
	}
	c.early = false
	return nil
}

// movedText moves a number by a twentieth, a whole one by one at least, so that it stays whole.
func movedText(s string) string {
	v, err := strconv.ParseFloat(s, 64)
	if err != nil || v == 0 || math.IsInf(v, 0) {
		return s
	}
	if whole, err := strconv.Atoi(s); err == nil {
		return strconv.Itoa(whole + int(math.Copysign(max(1, math.Round(math.Abs(v)/20)), v)))
	}
	return strconv.FormatFloat(v*1.05, 'g', 12, 64)
}

func csvNumbers(data []byte) ([]number, error) {
	r := csv.NewReader(bytes.NewReader(data))
	r.FieldsPerRecord = -1
	starts := []int{0}
	for i, b := range data {
		if b == '\n' {
			starts = append(starts, i+1)
		}
	}
	var out []number
	for {
		record, err := r.Read()
		if errors.Is(err, io.EOF) {
			return out, nil
		}
		if err != nil {
			return nil, err
		}
		for i, field := range record {
			if _, err := strconv.ParseFloat(field, 64); err != nil {
				continue
			}
			line, column := r.FieldPos(i)
			if at := starts[line-1] + column - 1; strings.HasPrefix(string(data[at:]), field) {
				out = append(out, number{at, field})
			}
		}
	}
}

func jsonNumbers(data []byte) ([]number, error) {
	d := json.NewDecoder(bytes.NewReader(data))
	d.UseNumber()
	var out []number
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			return out, nil
		}
		if err != nil {
			return nil, err
		}
		if n, ok := token.(json.Number); ok {
			out = append(out, number{int(d.InputOffset()) - len(n.String()), n.String()})
		}
	}
}

// guessed says whether a number of a JSON object is a value from memory, by the object's own status, or the uncertainty of a
// typical value: nothing outside could hold it to a twentieth.
func guessed(data []byte, at int) bool {
	if bytes.HasSuffix(bytes.TrimRight(data[:at], " "), []byte(`"u":`)) {
		return true
	}
	depth, from := 0, -1
	for i := at - 1; i >= 0 && from < 0; i-- {
		switch data[i] {
		case '}':
			depth++
		case '{':
			if depth--; depth < 0 {
				from = i
			}
		}
	}
	if from < 0 {
		return false
	}
	to := bytes.IndexByte(data[from:], '}')
	return bytes.Contains(data[from:from+max(0, to)], []byte(`"status": "from memory`))
}
