package predict

import (
	"errors"
	"fmt"
	"math"

	"voltwright/internal/battery"
	"voltwright/internal/finding"
	"voltwright/internal/quantity"
)

// ParallelPacks is what packs side by side do: how they share a load, and what flows
// at the moment they are joined at unlike charge. Each pack is taken as typical
// of what is stated of it, as one logger does not tell them apart.
type ParallelPacks struct {
	Load   string // name of the load that is shared, "" where there is none
	Shares []PackShare
	Apart  float64              // charge by which the first pack is fuller than the others when they are joined
	Flows  quantity.Amperes     // greatest current at that moment
	Moved  quantity.AmpereHours // charge that flows until it has died down
	Takes  quantity.Seconds     // that long; NaN: not within 12 h
	Words  string
	Err    string // why nothing can be said of joining
}

// PackShare is one pack's share of a load, run from full to the end.
type PackShare struct {
	Name string
	Most quantity.Amperes // the greatest current that it gives
	Part float64          // of the charge taken out, 0 to 1
}

// joinedApart is how far apart in charge packs are joined for the answer: as far as two that were not charged together may be.
const joinedApart = 0.1

// parallel answers for two packs or more; nil for one.
func parallel(b Bank, l *Load) *ParallelPacks {
	if len(b.Packs) < 2 {
		return nil
	}
	ambient := usualAmbient
	if l != nil {
		ambient = l.Ambient
	}
	p := &ParallelPacks{Apart: joinedApart, Takes: quantity.Seconds(math.NaN())}
	var packs []battery.Pack
	for _, one := range b.Packs {
		k, err := typical(Bank{Packs: []Pack{one}}, true, nil)
		if err != nil {
			p.Err = finding.SentenceOf(err)
			return p
		}
		pack := k.cells(halves, ambient)[0]
		pack.Name = one.name()
		packs = append(packs, pack)
	}
	if l != nil {
		p.share(packs, *l, b)
	}
	for i := range packs {
		packs[i].Protection = nil
		if i > 0 {
			packs[i].Charge -= joinedApart
		}
	}
	j, err := battery.Join(packs, ambient)
	if j == nil {
		p.Err = finding.SentenceOf(err)
		return p
	}
	p.Flows, p.Moved, p.Takes = j.Largest, j.Moved, j.Settles
	p.Words = fmt.Sprintf("Joined with the first pack full and the others %.0f %% less, %s A flow between them at the first moment and %s in all; join them only when they have the same voltage.",
		100*joinedApart, quantity.Figures(float64(p.Flows), 3), quantity.Rough(p.Moved))
	if _, ok := errors.AsType[*battery.UnequalCapacityError](err); ok {
		p.Words += " Their capacities are not alike, so they do not share a load evenly."
	}
	for i, s := range p.Shares {
		word := " " + s.Name
		if i == 0 {
			word = " From full to the end " + s.Name
		}
		p.Words += fmt.Sprintf("%s gives %.0f %% of the charge and %.3g A at the most", word, 100*s.Part, float64(s.Most))
		if i < len(p.Shares)-1 {
			p.Words += ","
		}
	}
	if len(p.Shares) > 0 {
		p.Words += "."
	}
	return p
}

func (p *ParallelPacks) share(packs []battery.Pack, l Load, b Bank) {
	cutout, _ := b.Ending()
	o, err := battery.Shares(packs, battery.Steady(l.Load), cutout, l.Ambient)
	if err != nil || !(o.Charge > 0) {
		return
	}
	p.Load = l.Name
	for _, one := range o.Packs {
		p.Shares = append(p.Shares, PackShare{one.Name, one.Most, float64(one.Out / o.Charge)})
	}
}
