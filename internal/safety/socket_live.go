package safety

import (
	"fmt"

	"voltwright/internal/circuit"
	"voltwright/internal/finding"
)

// socketLive asks whether the pins of a charger's socket are live with nothing plugged in.
var socketLive = &rule{each: eachVersion, judge: wiringRule{
	of: []circuit.Rule{circuit.SocketLive}, question: "whether the pins of a charger's socket are live with nothing plugged in",
	signal: always(finding.Caution),
	text: func(f *failing) string {
		return fmt.Sprintf("the pins of %s are live with nothing plugged in: a key or a coin across them makes a short", f.name())
	},
	remedy: first("put a cap over it when no charger is plugged in. Then fit a socket that cannot be touched or bridged, or a diode in its positive lead."),
}.judge, doc: finding.Doc{
	Name: "socket-live", Signal: finding.Caution,
	Title:   "A charger's socket that is live",
	What:    "Looks whether both pins of a charger's socket are joined to the packs with nothing plugged in, unless its contacts cannot be touched.",
	Why:     "Sockets are within reach of children, keys and wet hands. A short there burns until the fuse has opened.",
	Needs:   "`wiring`; `touch-proof` of the socket",
	Source:  "Search of the circuit; that open pins are dead: common practice, no source",
	Example: "  parts: [{name: socket, kind: charger-socket, touch-proof: yes}]",
}}
