package site

import (
	"slices"

	"voltwright/internal/finding"
	"voltwright/internal/site/forecast"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/partslist"
	"voltwright/internal/site/reading"
	"voltwright/internal/site/spec"
	"voltwright/internal/site/wiringsheet"
)

// Docs explains what this package computes and what it reports.
func Docs() []finding.Doc {
	return append(slices.Clone(reading.AttachDocs), []finding.Doc{reading.NotePositionDoc, securityExpiryDoc, securityPlaceDoc, spec.DocNominal, spec.DocEnergy, spec.DocPerCell, spec.DocReset, spec.DocMass, partslist.DocPartsAccount, partslist.DocPartsHeld, wiringsheet.DocCutList,
		{Kind: finding.RuleDoc, Name: reading.RulePicture, Level: finding.Error, Title: "A picture that cannot be shown",
			What:   "Pictures are decoded and encoded again before they are published, so that nothing but the picture is. One that is damaged, too large, or of a kind that cannot be cleaned so is left out.",
			Why:    "A photo carries where and when it was taken.",
			Source: "Exif (CIPA DC-008) for what a photo carries."},
		{Kind: finding.RuleDoc, Name: reading.RuleNotShown, Level: finding.Error, Title: "A plot, table or diagram that cannot be shown",
			What:    "Looks at what stands after `plot:`, `table:` and `diagram:`. A run has a plot of each channel that its evidence holds (voltage, current, power, speed, temperature, duty, rotation) and, where a cutout opened, `cutout`: the voltage about the opening, enlarged. Where its version could be computed a run also has `prediction`: its voltage beside the one predicted by what had not seen the run. A run has the table `results`; a vehicle and a version have `runs`, what was measured; a version has `run-time` and `charge-time`, as they are computed. A version that states its wiring has the drawings `wiring`, the power path, and `live`, what is still live when a cutout, a stop or a switch is open.",
			Why:     "A page with a hole in it says less than its maker meant.",
			Example: "  ![The rebound](plot:field-2/cutout)"},
		{Kind: finding.RuleDoc, Name: forecast.RuleNoPrediction, Level: finding.Error, Title: "A question asks for a prediction that is not computed",
			What:    "Looks at what a question names under `prediction`: a version, and the name of a running time or a charge time that is computed for it.",
			Why:     "A page that says `not measured yet` with nothing after it helps nobody.",
			Example: "  prediction: shunter/1-lead-acid/run-time/field-2/own"},
		{Kind: finding.RuleDoc, Name: frame.RuleTemplate, Level: finding.Error, Title: "A template of the journal's own that does not work",
			What: "A template under the journal's themes folder that does not parse, or fails while a page is made. The theme's own template is used for that page.",
			Why:  "A page with an error message in it is worse than one that looks as usual."},
	}...)
}
