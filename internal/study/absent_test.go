package study

import (
	"reflect"
	"testing"

	"voltwright/internal/measuredjournal"
)

// measuredAllTheSame are fields that an answer rests on: they are measured and not answered.
var measuredAllTheSame = map[string]string{
	"drivetrain.SpeedComparison.Volts": "the pack under load, as the run's log has it",
}

// What fails as one says why in its Err, and then none of its measured values is taken for known.
func TestNothingIsKnownOfWhatFailed(t *testing.T) {
	failed := map[string]int{}
	for _, dir := range []string{"../../content", measuredjournal.Journal(t)} {
		s, _ := studied(t, dir, nil)
		s.Answer(nil)
		s.Wire()
		walk(t, "", reflect.ValueOf(s.Results).Elem(), map[uintptr]bool{}, failed)
	}
	if len(failed) < 3 {
		t.Errorf("too little fails for this to be seen: %v", failed)
	}
}

// walk looks into all that a value holds.
func walk(t *testing.T, path string, v reflect.Value, seen map[uintptr]bool, failed map[string]int) {
	switch v.Kind() {
	case reflect.Pointer:
		if !v.IsNil() && !seen[v.Pointer()] {
			seen[v.Pointer()] = true
			walk(t, path, v.Elem(), seen, failed)
		}
	case reflect.Interface:
		walk(t, path, v.Elem(), seen, failed)
	case reflect.Slice, reflect.Array:
		for i := range v.Len() {
			walk(t, path+"[]", v.Index(i), seen, failed)
		}
	case reflect.Map:
		for _, key := range v.MapKeys() {
			walk(t, path+"["+key.String()+"]", v.MapIndex(key), seen, failed)
		}
	case reflect.Struct:
		why := v.FieldByName("Err")
		if why.IsValid() && why.Kind() == reflect.String && why.String() != "" {
			failed[v.Type().String()]++
			for i := range v.NumField() {
				f := v.Field(i)
				present := reflect.Value{}
				if f.Kind() == reflect.Struct {
					present = f.FieldByName("Present")
				}
				if measuredAllTheSame[v.Type().String()+"."+v.Type().Field(i).Name] != "" {
					continue
				}
				if present.IsValid() && present.Bool() && f.FieldByName("Value").Float() == f.FieldByName("Value").Float() {
					t.Errorf("%s.%s is known to be %v though %q", path, v.Type().Field(i).Name, f.FieldByName("Value"), why)
				}
			}
		}
		for i := range v.NumField() {
			walk(t, path+"."+v.Type().Field(i).Name, v.Field(i), seen, failed)
		}
	}
}
