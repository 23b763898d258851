package predict

// Cache fills what out points to with what was kept of a step of Answer for the same input, or has it computed and keeps that.
// What compute cannot have is not kept, and its error is handed on. Everything that out points to is in exported fields.
// A nil Cache computes each time.
type Cache func(step string, out any, compute func() error) error

// step runs one step.
func (k Cache) step(name string, out any, compute func() error) error {
	if k == nil {
		return compute()
	}
	return k(name, out, compute)
}

// under is the same for steps of another input, which the name tells.
func (k Cache) under(name string) Cache {
	if k == nil {
		return nil
	}
	return func(step string, out any, compute func() error) error { return k(name+" "+step, out, compute) }
}

// sure runs a step that cannot fail.
func (k Cache) sure(name string, out any, compute func()) {
	_ = k.step(name, out, func() error { compute(); return nil })
}
