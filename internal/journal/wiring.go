package journal

import (
	"strings"

	"voltwright/internal/finding"
	"voltwright/internal/notes"
	"voltwright/internal/quantity"
)

// Wiring is a version's wiring: parts with terminals, and leads between them.
// What the version's packs, motors, cutout and controller say of themselves is
// taken from there, by name, and need not be said again.
type Wiring struct {
	Ampacity notes.Choice[AmpacityWord] `key:"ampacity"`
	Usual    UsualLead                  `key:"usual"` // what a lead has that does not say otherwise
	Frame    notes.Choice[FrameWord]    `key:"frame"`
	Parts    []WiringPart               `key:"parts"`
	Paths    []WiringPath               `key:"paths"` // written for short; Leads has their leads as well
	Leads    []WiringLead               `key:"leads"`
	Points   []WiringPoint              `key:"points"`

	Span finding.Span `key:"@"`
}

// WiringPart is one part with terminals.
type WiringPart struct {
	Name  notes.Word             `key:"name,required"`
	Kind  notes.Choice[PartWord] `key:"kind,required"`
	Was   notes.Word             `key:"was"`   // its name in the version that this one is like, where that is another
	Of    notes.Word             `key:"of"`    // the name in `packs` or `motors` where it has another here
	Cells notes.Integer          `key:"cells"` // of a pack that is one block of the pack named by Of: cells in series in it; of a balance lead: cells that it goes to

	Current   notes.Value[quantity.Amperes] `key:"current"`
	Peak      notes.Value[quantity.Amperes] `key:"peak"`
	Volts     notes.Value[quantity.Volts]   `key:"volts"`
	Breaking  notes.Value[quantity.Amperes] `key:"breaking"`
	Resistive notes.Value[quantity.Amperes] `key:"resistive"`
	Inductive notes.Value[quantity.Amperes] `key:"inductive"`
	AC        notes.Flag                    `key:"ac"`

	Nominal    notes.Value[quantity.Volts] `key:"nominal"`
	Resistance notes.Value[quantity.Ohms]  `key:"resistance"`
	Power      notes.Value[quantity.Watts] `key:"power"`
	Coil       notes.Value[quantity.Ohms]  `key:"coil"`
	Drop       notes.Value[quantity.Volts] `key:"drop"`

	FuseKind       notes.Choice[FuseWord] `key:"fuse-kind"`
	Poles          notes.Integer          `key:"poles"`
	Throws         notes.Integer          `key:"throws"`
	OffBetween     notes.Flag             `key:"off-between"`
	AtRest         notes.Choice[RestWord] `key:"at-rest"` // where its contacts stand when nobody touches them
	Ways           notes.Integer          `key:"ways"`
	CommonPositive notes.Flag             `key:"common-positive"`
	TouchProof     notes.Flag             `key:"touch-proof"`

	Taps     notes.Flag                  `key:"taps"`      // of a pack: whether the ends of its cells are brought out
	Clamps   notes.Value[quantity.Volts] `key:"clamps"`    // of a suppressor
	BothWays notes.Flag                  `key:"both-ways"` // whether a suppressor has no polarity

	Style notes.Choice[StyleWord]                 `key:"style"`
	Takes notes.Integer                           `key:"takes"`
	Clamp notes.Range[quantity.SquareMillimetres] `key:"clamp"`

	AsFound Found `key:"as-found"`

	Suppression notes.Choice[Suppression] `key:"suppression"` // of the coil
	Polarised   notes.Flag                `key:"polarised"`   // whether it opens well only with the current entering at in
	PinsOn      notes.Choice[PinsOn]      `key:"pins-on"`
	Parted      notes.Integer             `key:"parted"`      // how often it was
	PartedMost  notes.Integer             `key:"parted-most"` // how often it may be, by its maker

	Span finding.Span `key:"@"`
}

// UsualLead is what the leads of a version have in common.
type UsualLead struct {
	Size       notes.Value[quantity.SquareMillimetres] `key:"size"`
	Stranding  notes.Choice[Stranding]                 `key:"stranding"`
	Tinned     notes.Flag                              `key:"tinned"`
	Insulation notes.Value[quantity.Celsius]           `key:"insulation"`
	Ends       LeadEnds                                `key:"ends"`
	Bundle     notes.Integer                           `key:"bundle"`
	Ambient    notes.Value[quantity.Celsius]           `key:"ambient"`
	Sheathed   notes.Flag                              `key:"sheathed"`
}

// WiringLead is one conductor between two terminals, each written part:terminal.
type WiringLead struct {
	From       notes.Word                              `key:"from,required"`
	To         notes.Word                              `key:"to,required"`
	Size       notes.Value[quantity.SquareMillimetres] `key:"size"`
	Stranding  notes.Choice[Stranding]                 `key:"stranding"`
	Tinned     notes.Flag                              `key:"tinned"`
	Insulation notes.Value[quantity.Celsius]           `key:"insulation"`
	Length     notes.Value[quantity.Metres]            `key:"length"`
	Colour     notes.Choice[LeadColour]                `key:"colour"`
	Stripe     notes.Choice[LeadColour]                `key:"stripe"`
	Ends       LeadEnds                                `key:"ends"`
	Bundle     notes.Integer                           `key:"bundle"`
	Ambient    notes.Value[quantity.Celsius]           `key:"ambient"`
	Sheathed   notes.Flag                              `key:"sheathed"`
	Label      notes.Word                              `key:"label"`
	AsFound    Found                                   `key:"as-found"`
	Was        notes.Word                              `key:"was"` // the lead of the version that this one is like that it replaces

	Span finding.Span `key:"@"`
}

// WiringPoint is a state of the vehicle that the maker wants looked at.
type WiringPoint struct {
	Name     notes.Word                     `key:"name,required"`
	Kind     notes.Choice[PointWord]        `key:"kind,required"`
	Current  notes.Value[quantity.Amperes]  `key:"current"` // of each motor; at charging: of the charger
	Duty     notes.Value[quantity.Fraction] `key:"duty"`
	Lasts    notes.Value[quantity.Seconds]  `key:"lasts"`
	Open     []notes.Word                   `key:"open"`      // contacts that are open
	Closed   []notes.Word                   `key:"closed"`    // contacts that are closed
	OtherWay []notes.Word                   `key:"other-way"` // changeovers that stand the other way

	Span finding.Span `key:"@"`
}

// LeadEnds are the two ends of a lead as they are made up, from and to.
type LeadEnds struct {
	Ends [2]LeadEnd
	Set  bool
	Span finding.Span
}

// LeadEnd is one end of a lead: what is on it, and what that goes on.
type LeadEnd struct {
	Kind EndWord
	For  string // "M6", "6.3 mm"
}

// DecodeNode reads two ends in [ ], or one that both ends have.
func (e *LeadEnds) DecodeNode(n *notes.Node, d *notes.Decoder) {
	const want = "how the two ends are made up, such as [ring M6, ferrule]"
	items := []*notes.Node{n, n}
	if n.Kind == notes.Sequence {
		if items = n.Items; len(items) != 2 {
			d.Report(notes.RuleWrongKind, n.Span, "`ends`: a lead has two ends, the one at `from` and the one at `to`", "write "+want+", or one end without brackets if both are alike.")
			return
		}
	}
	var ends [2]LeadEnd
	for i, item := range items {
		if item.Kind == notes.Refused {
			return
		}
		text, ok := d.Words(item, want)
		if !ok {
			return
		}
		word, on, _ := strings.Cut(strings.TrimSpace(text), " ")
		first := *item
		first.Text = word
		var kind notes.Choice[EndWord]
		if kind.DecodeNode(&first, d); !kind.Set {
			return
		}
		ends[i] = LeadEnd{kind.Value, strings.TrimSpace(on)}
	}
	*e = LeadEnds{Ends: ends, Set: true, Span: n.Span}
}
