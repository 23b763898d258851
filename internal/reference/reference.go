// Package reference reads the small tables of published values that the
// calculators carry with them: comma-separated files with one head row, every
// field of every row used, the first fault reported with its row.
//
// It knows nothing of what the values mean; where each is from and how far it
// can be trusted are columns like any other.
package reference

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io/fs"
	"strconv"
	"strings"
)

// Read reads the table at name, whose head row must be head, and calls add for
// each row. It is strict: no rows, another head, a row that add leaves fields of
// or wants more of, or a field that add refuses is an error that names the file
// and the row.
func Read(files fs.FS, name, head string, add func(*Row)) error {
	f, err := files.Open(name)
	if err != nil {
		return err
	}
	defer f.Close()
	records, err := csv.NewReader(f).ReadAll()
	if err != nil {
		return fmt.Errorf("%s: %w", name, err)
	}
	if len(records) < 2 || strings.Join(records[0], ",") != head {
		return fmt.Errorf("%s: no rows, or another head than %s", name, head)
	}
	for n, record := range records[1:] {
		r := &Row{fields: record}
		add(r)
		if len(r.fields) > 0 {
			r.Fail(fmt.Errorf("%d fields are not used", len(r.fields)))
		}
		if r.err != nil {
			return fmt.Errorf("%s: row %d: %w", name, n+2, r.err)
		}
	}
	return nil
}

// Row hands out the fields of a record one by one and keeps the first fault.
type Row struct {
	fields []string
	err    error
}

// Fail records a fault; only the first one counts.
func (r *Row) Fail(err error) {
	if r.err == nil {
		r.err = err
	}
}

func (r *Row) next() string {
	if len(r.fields) == 0 {
		r.Fail(errors.New("a field is missing"))
		return ""
	}
	f := r.fields[0]
	r.fields = r.fields[1:]
	return f
}

// Text is the next field, which may not be empty.
func (r *Row) Text() string {
	s := r.next()
	if s == "" {
		r.Fail(errors.New("an empty field"))
	}
	return s
}

// Number is the next field as a number.
func (r *Row) Number() float64 {
	v, err := strconv.ParseFloat(r.next(), 64)
	if err != nil {
		r.Fail(err)
	}
	return v
}

// Optional is the next field as a number, or what stands for an empty one.
func (r *Row) Optional(without float64) float64 {
	if len(r.fields) > 0 && r.fields[0] == "" {
		r.next()
		return without
	}
	return r.Number()
}
