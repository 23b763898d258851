package journal

import "slices"

// Successor is the version that took a version's place: of those that follow it by their own word, or else have a higher
// number and follow none, the first that is built, or else the first that is planned; nil for none.
func (v *Version) Successor() *Version {
	said := func(w *Version) bool { return w.Before == v }
	higher := func(w *Version) bool { return w.Before == nil && w.Number > v.Number }
	built := func(w *Version) bool { return w.State.Value != Planned }
	for _, follows := range []func(*Version) bool{said, higher} {
		for _, wanted := range []func(*Version) bool{built, func(*Version) bool { return true }} {
			i := slices.IndexFunc(v.Vehicle.Versions, func(w *Version) bool { return w != v && follows(w) && wanted(w) })
			if i >= 0 {
				return v.Vehicle.Versions[i]
			}
		}
	}
	return nil
}

// Superseded tells whether another version has been built in a version's place.
func (v *Version) Superseded() bool {
	next := v.Successor()
	return next != nil && next.State.Value != Planned
}
