package circuit

// Revision is what changed of a circuit since another one, as indices of parts and leads.
type Revision struct {
	NewParts     []int // of the later circuit: no part of the name was there, or one of another kind
	ChangedParts []int // of the later circuit: another rating or value
	GoneParts    []int // of the earlier circuit
	MakeUp       []int // leads of the later circuit that are not there yet
	Keep         []int // leads of the later circuit that stay as they are
	TakeOut      []int // leads of the earlier circuit
}

// Empty tells whether nothing changed.
func (r Revision) Empty() bool {
	return len(r.NewParts)+len(r.ChangedParts)+len(r.GoneParts)+len(r.MakeUp)+len(r.TakeOut) == 0
}

// Since compares a circuit with the one before it. Parts are held against each other by name. A lead stays where one between the same two
// terminals, either way round, is of the same conductor and length and has the same ends; any other is taken out, and one is made up in its
// place. How it is laid and what is written on it may change while it stays.
func (c *Circuit) Since(before *Circuit) Revision {
	var r Revision
	for i := range c.Parts {
		switch at := before.find(c.Parts[i].Name); {
		case at < 0 || before.Parts[at].Kind != c.Parts[i].Kind:
			r.NewParts = append(r.NewParts, i)
		case before.Parts[at] != c.Parts[i]:
			r.ChangedParts = append(r.ChangedParts, i)
		}
	}
	for i := range before.Parts {
		if at := c.find(before.Parts[i].Name); at < 0 || c.Parts[at].Kind != before.Parts[i].Kind {
			r.GoneParts = append(r.GoneParts, i)
		}
	}
	stays := make([]bool, len(before.Leads))
	for i := range c.Leads {
		kept := false
		for k := range before.Leads {
			if !stays[k] && c.Leads[i].sameAs(&before.Leads[k]) {
				stays[k], kept = true, true
				break
			}
		}
		if kept {
			r.Keep = append(r.Keep, i)
		} else {
			r.MakeUp = append(r.MakeUp, i)
		}
	}
	for k := range before.Leads {
		if !stays[k] {
			r.TakeOut = append(r.TakeOut, k)
		}
	}
	return r
}

// sameAs tells whether a lead is the same piece of wire between the same two terminals.
func (l *Lead) sameAs(o *Lead) bool {
	if l.conductor() != o.conductor() || l.Length != o.Length {
		return false
	}
	return l.From == o.From && l.To == o.To && l.EndA == o.EndA && l.EndB == o.EndB ||
		l.From == o.To && l.To == o.From && l.EndA == o.EndB && l.EndB == o.EndA
}
