package circuit

import (
	"reflect"
	"testing"
)

// Leads are bought as one conductor only where they are one: every field of a lead is compared, or named with the
// reason why it does not matter to who buys it.
func TestOneConductor(t *testing.T) {
	irrelevant := map[string]string{
		"From": "where it goes", "To": "where it goes", "Length": "summed", "EndA": "what is put on its ends", "EndB": "what is put on its ends",
		"Bundle": "how it is laid", "Ambient": "how it is laid", "Sheathed": "a sheath is drawn over it, or it runs in a conduit", "Label": "what is written on it",
	}
	like := Lead{Size: Metric(2.5), Class: Flexible, Insulation: 105, Colour: "red", Stripe: "black"}
	typ := reflect.TypeFor[Lead]()
	for i := range typ.NumField() {
		name := typ.Field(i).Name
		if _, is := irrelevant[name]; is {
			delete(irrelevant, name)
			continue
		}
		other := like
		switch f := reflect.ValueOf(&other).Elem().Field(i); f.Kind() {
		case reflect.Bool:
			f.SetBool(true)
		case reflect.Float64:
			f.SetFloat(75)
		case reflect.Uint8:
			f.SetUint(uint64(Solid))
		case reflect.String:
			f.SetString("white")
		case reflect.Struct:
			f.Set(reflect.ValueOf(Metric(4)))
		default:
			t.Fatalf("%s: no other value is known", name)
		}
		c := Circuit{Parts: []Part{{Name: "a", Kind: Pack}}, Leads: []Lead{like, other, like}}
		if _, totals := c.CutList(0); len(totals) != 2 {
			t.Errorf("leads that differ in %s are bought as one: %v", name, totals)
		}
	}
	for name := range irrelevant {
		t.Errorf("a lead has no field %s", name)
	}
}
