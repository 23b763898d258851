package store

import (
	"crypto/sha256"
	"encoding/binary"
	"hash"
	"io"
	"math"
	"os"
	"reflect"
	"slices"
	"strings"
)

// Key is the fingerprint of a step and of all that its result depends on. The zero Key finds and keeps nothing.
type Key struct {
	sum  [sha256.Size]byte
	sure bool
}

// KeyOf is the fingerprint of a step of this program, by its name, and of the values that it takes: of every field of them,
// exported or not, of what they point to and of the bits of every number. Where a value holds what has no lasting form, such
// as a function or a channel, nothing is kept.
func KeyOf(step string, values ...any) Key {
	sum, err := program()
	return Key{sum: sum, sure: err == nil}.Of(step).With(values...)
}

// With is the key of the same step with further values.
func (k Key) With(values ...any) Key {
	if !k.sure {
		return Key{}
	}
	p := printer{hash: sha256.New(), seen: map[visit]int{}}
	p.text(string(k.sum[:]))
	for _, v := range values {
		p.value(reflect.ValueOf(v))
	}
	if p.unsure {
		return Key{}
	}
	p.flush()
	return Key{sum: [sha256.Size]byte(p.hash.Sum(nil)), sure: true}
}

// Of is the key of a step that belongs to what this key stands for.
func (k Key) Of(step string) Key {
	if !k.sure {
		return Key{}
	}
	h := sha256.New()
	h.Write(k.sum[:])
	io.WriteString(h, step)
	return Key{sum: [sha256.Size]byte(h.Sum(nil)), sure: true}
}

// printer writes values as bytes that tell any two apart: the kind, the length where there is one, then what is in it.
type printer struct {
	hash   hash.Hash
	buf    []byte
	seen   map[visit]int // pointers by the order in which they were met: shared and circular values end
	unsure bool
}

type visit struct {
	at reflect.Type
	to uintptr
}

func (p *printer) number(n uint64) {
	if p.buf = binary.LittleEndian.AppendUint64(p.buf, n); len(p.buf) > 4096 {
		p.flush()
	}
}

// float takes a zero below zero for zero: that is all that what is kept remembers of it.
func (p *printer) float(f float64) {
	if f == 0 {
		f = 0
	}
	p.number(math.Float64bits(f))
}

func (p *printer) flush() {
	p.hash.Write(p.buf)
	p.buf = p.buf[:0]
}

func (p *printer) text(s string) {
	p.number(uint64(len(s)))
	p.buf = append(p.buf, s...)
}

func (p *printer) value(v reflect.Value) {
	p.number(uint64(v.Kind()))
	switch v.Kind() {
	case reflect.Invalid:
	case reflect.Bool:
		if v.Bool() {
			p.number(1)
		} else {
			p.number(0)
		}
	case reflect.Int, reflect.Int8, reflect.Int16, reflect.Int32, reflect.Int64:
		p.number(uint64(v.Int()))
	case reflect.Uint, reflect.Uint8, reflect.Uint16, reflect.Uint32, reflect.Uint64, reflect.Uintptr:
		p.number(v.Uint())
	case reflect.Float32, reflect.Float64:
		p.float(v.Float())
	case reflect.Complex64, reflect.Complex128:
		p.float(real(v.Complex()))
		p.float(imag(v.Complex()))
	case reflect.String:
		p.text(v.String())
	case reflect.Array, reflect.Slice:
		p.list(v)
	case reflect.Struct:
		p.text(v.Type().String())
		for i := range v.NumField() {
			p.value(v.Field(i))
		}
	case reflect.Map:
		p.table(v)
	case reflect.Pointer:
		p.pointer(v)
	case reflect.Interface:
		if !v.IsNil() {
			p.text(v.Elem().Type().String())
		}
		p.value(v.Elem())
	default: // functions, channels, unsafe pointers
		p.unsure = p.unsure || !v.IsNil()
	}
}

func (p *printer) list(v reflect.Value) {
	p.number(uint64(v.Len()))
	if v.Type().Elem().Kind() == reflect.Float64 { // by far the most of what is printed
		for i := range v.Len() {
			p.float(v.Index(i).Float())
		}
		return
	}
	for i := range v.Len() {
		p.value(v.Index(i))
	}
}

// table takes the entries of a map in the order of the bytes that their keys come to.
func (p *printer) table(v reflect.Value) {
	type entry struct {
		key   string
		value reflect.Value
	}
	var all []entry
	for it := v.MapRange(); it.Next(); {
		k := printer{hash: sha256.New(), seen: map[visit]int{}}
		k.value(it.Key())
		k.flush()
		p.unsure = p.unsure || k.unsure
		all = append(all, entry{string(k.hash.Sum(nil)), it.Value()})
	}
	slices.SortFunc(all, func(a, b entry) int { return strings.Compare(a.key, b.key) })
	p.number(uint64(len(all)))
	for _, e := range all {
		p.text(e.key)
		p.value(e.value)
	}
}

func (p *printer) pointer(v reflect.Value) {
	if v.IsNil() {
		p.number(0)
		return
	}
	at := visit{v.Type(), v.Pointer()}
	if n, met := p.seen[at]; met {
		p.number(uint64(n) + 2)
		return
	}
	p.number(1)
	p.seen[at] = len(p.seen)
	p.value(v.Elem())
}

// sumOf is the checksum of a file.
func sumOf(name string) (sum [sha256.Size]byte, err error) {
	f, err := os.Open(name)
	if err != nil {
		return sum, err
	}
	defer f.Close()
	h := sha256.New()
	if _, err := io.Copy(h, f); err != nil {
		return sum, err
	}
	return [sha256.Size]byte(h.Sum(nil)), nil
}
