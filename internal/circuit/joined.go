package circuit

// Joined tells whether two terminals are one point as far as voltage goes, with
// every contact as usual: joined by leads and by those parts that hand a voltage
// on and that through accepts. A terminal that is not there is joined to none.
func (c *Circuit) Joined(a, b Terminal, through func(*Part) bool) bool {
	n := c.nets(usual, func(p *Part) bool { return passing(p) && through(p) })
	_, okA := n.nodes.at[a]
	_, okB := n.nodes.at[b]
	return okA && okB && n.of(a) == n.of(b)
}
