package runlog

import (
	"strings"
	"unicode"
)

// What logs write for the three states. Single letters count only in a column whose head says that it is a state.
var (
	dischargeWords = set("discharge", "discharging", "disch", "dischg", "dischrg", "dchg", "dchrg", "dch", "dis", "dsg", "dsc", "entladen", "entladung", "entl", "décharge", "decharge", "ontladen", "ccd", "cpd", "crd")
	chargeWords    = set("charge", "charging", "chg", "chrg", "cha", "chr", "laden", "ladung", "lad", "charger", "recharge", "opladen", "ccc", "ccchg", "cccvchg")
	restWords      = set("rest", "resting", "idle", "pause", "paused", "ocv", "ocp", "wait", "waiting", "standby", "relax", "relaxation", "off", "open", "stop", "stopped", "ruhe", "ruhen", "repos", "rust", "end", "finish", "finished", "init", "start", "storage", "suspend", "suspended")
	stateLetters   = map[string]float64{"d": StateDischarge, "c": StateCharge, "r": StateRest, "p": StateRest, "i": StateRest, "s": StateRest, "o": StateRest}
)

// stateOf is the state that a field names. letters allows single letters.
func stateOf(text string, letters bool) (float64, bool) {
	words := strings.FieldsFunc(strings.ToLower(strings.TrimSpace(text)), func(r rune) bool { return !unicode.IsLetter(r) })
	if len(words) == 1 && letters {
		if s, ok := stateLetters[words[0]]; ok {
			return s, true
		}
	}
	state, found := 0.0, false
	for _, w := range words {
		switch {
		case dischargeWords[w]:
			return StateDischarge, true
		case chargeWords[w]:
			state, found = StateCharge, true
		case restWords[w] && !found:
			state, found = StateRest, true
		}
	}
	return state, found
}

// states finds the column that says in letters or words whether the pack is
// charged, discharged or at rest.
func (a *assigner) states() {
	if a.has(State) {
		return
	}
	pick, best := -1, 0
	for i := range a.plan.heads {
		if a.taken[i] || a.kind(i) != kindText {
			continue
		}
		channel, score := a.plan.heads[i].channel()
		named := channel == State && score > 0 || a.plan.heads[i].has("step") && a.plan.heads[i].has("type", "name")
		if named && score < leastScore {
			score = leastScore
		}
		if !named {
			score = 1
		}
		known, moving, other := 0, 0, 0
		for _, text := range a.rows.words[i] {
			switch s, ok := stateOf(text, named); {
			case !ok:
				other++
			case s != StateRest:
				moving++
				known++
			default:
				known++
			}
		}
		if known < 9*other || known == 0 || !named && moving == 0 {
			continue
		}
		if score > best {
			pick, best = i, score
		}
	}
	if pick >= 0 {
		a.take(State, pick, "head")
	}
}
