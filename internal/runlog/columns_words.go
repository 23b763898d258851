package runlog

import "voltwright/internal/quantity"

// A head is read by its whole words. Each word is one of four things:
//
//	a noun names a channel (voltage, current, capacity);
//	a qualifier says which of several (pack, cell, measured, limit) and moves the
//	score of the column;
//	a turn makes another channel of a noun (ambient temperature, step time,
//	charge capacity);
//	a word of another matter (resistance, wind, efficiency) means that the column
//	is none of the channels, whatever else the head says.

// noun is a channel that a word names, and how surely.
type noun struct {
	channel Channel
	score   int
}

// nouns are in lower case: English first, then the usual German, French and Dutch ones.
var nouns = map[string]noun{
	"time": {Time, 10}, "timestamp": {Time, 10}, "datetime": {Time, 11}, "elapsed": {Time, 9}, "seconds": {Time, 8}, "duration": {Time, 4},
	"millis": {Time, 8}, "uptime": {Time, 7}, "zeit": {Time, 10}, "zeitstempel": {Time, 10}, "temps": {Time, 9}, "tijd": {Time, 10},
	"clock": {Time, 8}, "date": {Time, 5}, "datum": {Time, 5}, "laufzeit": {Time, 10}, "tod": {Time, 6}, "utc": {Time, 7}, "epoch": {Time, 8},

	"voltage": {Voltage, 10}, "volt": {Voltage, 9}, "volts": {Voltage, 9}, "potential": {Voltage, 10}, "spannung": {Voltage, 10},
	"tension": {Voltage, 10}, "spanning": {Voltage, 10}, "klemmenspannung": {Voltage, 11}, "vbat": {Voltage, 10}, "ubat": {Voltage, 10},
	"vbatt": {Voltage, 10}, "ubatt": {Voltage, 10}, "vpack": {Voltage, 10}, "upack": {Voltage, 10}, "vcell": {Voltage, 8}, "ucell": {Voltage, 8},
	"ecell": {Voltage, 10}, "vterm": {Voltage, 10}, "vin": {Voltage, 8}, "busvoltage": {Voltage, 9}, "akkuspannung": {Voltage, 11}, "batteriespannung": {Voltage, 11}, "mv": {Voltage, 8},

	"current": {Current, 10}, "amps": {Current, 9}, "amp": {Current, 8}, "ampere": {Current, 9}, "amperes": {Current, 9}, "amperage": {Current, 9},
	"ibat": {Current, 10}, "ibatt": {Current, 10}, "ipack": {Current, 10}, "icell": {Current, 8}, "strom": {Current, 10}, "stromstärke": {Current, 10},
	"courant": {Current, 10}, "intensité": {Current, 9}, "stroom": {Current, 10}, "shunt": {Current, 5}, "akkustrom": {Current, 11}, "batteriestrom": {Current, 11}, "ma": {Current, 8},

	"temperature": {Temperature, 10}, "temperatures": {Temperature, 10}, "temp": {Temperature, 10}, "temperatur": {Temperature, 10},
	"température": {Temperature, 10}, "temperatuur": {Temperature, 10}, "thermocouple": {Temperature, 8}, "ntc": {Temperature, 7}, "tbat": {Temperature, 9},
	"tcell": {Temperature, 9}, "tamb": {Ambient, 10},

	"speed": {Speed, 10}, "velocity": {Speed, 10}, "geschwindigkeit": {Speed, 10}, "vitesse": {Speed, 10}, "snelheid": {Speed, 10}, "tempo": {Speed, 7},
	"distance": {Distance, 10}, "dist": {Distance, 10}, "odometer": {Distance, 9}, "odo": {Distance, 9}, "trip": {Distance, 8}, "strecke": {Distance, 9},
	"weg": {Distance, 8}, "afstand": {Distance, 10}, "kilometerstand": {Distance, 9},

	"power": {Power, 10}, "leistung": {Power, 10}, "puissance": {Power, 10}, "vermogen": {Power, 10}, "watts": {Power, 9}, "watt": {Power, 8},
	"duty": {Duty, 10}, "pwm": {Duty, 6}, "rpm": {Rotation, 10}, "rotation": {Rotation, 9}, "drehzahl": {Rotation, 10}, "revs": {Rotation, 7}, "toerental": {Rotation, 9},

	"capacity": {ChargeCounter, 8}, "cap": {ChargeCounter, 7}, "kapazität": {ChargeCounter, 8}, "capacité": {ChargeCounter, 8}, "capaciteit": {ChargeCounter, 8}, "q": {ChargeCounter, 7},
	"amphours": {ChargeCounter, 9}, "amphour": {ChargeCounter, 9}, "amphr": {ChargeCounter, 9}, "ah": {ChargeCounter, 9}, "mah": {ChargeCounter, 9}, "coulombs": {ChargeCounter, 8}, "ladung": {ChargeCounter, 8},
	"ladungsmenge": {ChargeCounter, 8}, "consumed": {ChargeCounter, 4},
	"energy": {EnergyCounter, 9}, "energie": {EnergyCounter, 9}, "énergie": {EnergyCounter, 9}, "watthours": {EnergyCounter, 9}, "watthour": {EnergyCounter, 9},
	"watthr": {EnergyCounter, 9}, "wh": {EnergyCounter, 9},

	"cycle": {Cycle, 6}, "cycles": {Cycle, 5}, "cyc": {Cycle, 6}, "zyklus": {Cycle, 6}, "loop": {Cycle, 3}, "cyclus": {Cycle, 6},
	"step": {Step, 6}, "steps": {Step, 5}, "schritt": {Step, 6}, "stap": {Step, 6}, "pas": {Step, 4},

	"state": {State, 8}, "status": {State, 8}, "mode": {State, 7}, "md": {State, 8}, "command": {State, 7}, "instruction": {State, 7}, "action": {State, 6}, "phase": {State, 5},
	"activity": {State, 6}, "operation": {State, 6}, "zustand": {State, 8}, "modus": {State, 7}, "betriebsart": {State, 8}, "état": {State, 8}, "toestand": {State, 8}, "type": {State, 4}, "condition": {State, 4},
}

// qualifiers move the score of a column: which of several voltages is the pack's.
var qualifiers = map[string]int{
	"measured": 2, "meas": 2, "actual": 2, "pack": 3, "battery": 3, "batt": 3, "bat": 3, "accu": 3, "akku": 3, "batterie": 3, "accumulator": 3,
	"total": 2, "input": 2, "in": 1, "main": 2, "dc": 1, "bus": 1, "terminal": 2, "sense": 0, "mid": 1, "case": 1, "surface": 1, "prog": 1, "supply": 1, "shunt": 0,
	"test": 2, "run": 2, "elapsed": 2, "cumulative": 2, "cum": 2, "running": 2, "abs": 1, "rel": 1, "since": 1, "start": -3, "end": -3, "first": -3, "last": -3,
	"load": -3, "charge": -3, "charger": -5, "charging": -3, "set": -9, "target": -9, "setpoint": -9, "demand": -9, "demanded": -9, "requested": -9, "request": -9,
	"command": -4, "commanded": -6, "limit": -12, "limits": -12, "control": -8, "soll": -6, "programmed": -6, "cutoff": -10, "cut": -10, "min": -7, "max": -7, "minimum": -7, "maximum": -7,
	"mean": -2, "avg": -2, "average": -2, "peak": -10, "ref": -9, "reference": -9, "fan": -12, "motor": -12, "phase": -12, "winding": -12, "esc": -4, "fet": -5, "mosfet": -5, "controller": -5, "circuit": -5, "board": -5, "pcb": -5, "cpu": -6,
	"solar": -12, "panel": -12, "aux": -6, "auxiliary": -6, "internal": -3, "elec": -9, "electrical": -9, "stddev": -9, "std": -9, "stdev": -9, "raw": -4, "adc": -4, "filtered": -1, "smoothed": -1,
	"wheel": -1, "gps": 0, "ground": 1, "half": -9, "rest": -6, "previous": -9, "position": -2, "cell": -1, "module": -1, "error": -9, "fault": -9, "balance": -6,
	"backup": -6, "output": -2, "out": 0, "out1": 0, "real": -1, "dpt": -1, "pos": -1, "neg": -1, "nominal": -12, "rated": -12, "rate": -12, "mot": -12, "engine": -12,
}

// otherMatters are words of heads that name no channel.
var otherMatters = map[string]bool{
	"resistance": true, "impedance": true, "dcir": true, "acir": true, "acr": true, "dcr": true, "esr": true, "frequency": true, "freq": true, "efficiency": true,
	"density": true, "specific": true, "spec": true, "capacitance": true, "differential": true, "throughput": true, "slippage": true, "soc": true, "soh": true, "dod": true, "sod": true,
	"wind": true, "weather": true, "precipitation": true, "humidity": true, "pressure": true, "altitude": true, "height": true, "elevation": true, "ascent": true, "slope": true, "grade": true, "heading": true,
	"torque": true, "force": true, "strain": true, "acceleration": true, "heart": true, "cadence": true, "weight": true, "mass": true, "bearing": true, "hdop": true, "satellites": true,
	"gain": true, "sensitivity": true, "noise": true, "delta": true, "dv": true, "di": true, "dt": true, "dq": true, "de": true, "dqdv": true, "dvdq": true, "dvdt": true, "didt": true, "vdt": true, "idt": true, "dqm": true, "qdv": true, "vdq": true,
	"ocv": true, "open": true, "hysteresis": true, "overpotential": true, "id": true, "serial": true, "reason": true, "reasoncode": true, "code": true, "version": true, "price": true, "comment": true, "remark": true, "note": true,
	"inertia": true, "thrust": true, "ripple": true, "crate": true, "factor": true, "ratio": true, "percentage": true, "percent": true, "quality": true, "checksum": true, "crc": true,
	"volume": true, "flow": true, "angle": true, "pitch": true, "roll": true, "yaw": true, "gyro": true, "magnet": true, "lux": true, "remaining": true, "eta": true, "level": true, "assistance": true, "assist": true, "empty": true, "until": true,
}

// Words that turn a noun.
var (
	surroundings = set("ambient", "chamber", "outside", "room", "air", "station", "oven", "climate", "environment", "environmental", "umgebung", "umgebungstemperatur", "raum", "aussen", "außen", "extérieur", "omgeving", "surrounding", "bath")
	returned     = set("returned", "return", "regen", "regenerated", "recovered", "recuperated", "back", "charge", "charged", "charging", "chg", "chrg", "cha", "chargé", "geladen", "ladung", "in", "into", "ch", "laden", "recharged")
	drawn        = set("discharge", "discharged", "discharging", "dchg", "dischg", "disch", "dch", "dchrg", "dis", "dsg", "drawn", "used", "consumed", "out", "entladen", "entladene", "entladung", "entlade", "décharge", "ontladen", "delivered")
	counting     = set("number", "no", "nr", "num", "index", "idx", "count", "counter", "n", "c", "p", "id", "#", "nummer", "numéro", "name")
	risen        = set("rise", "difference", "diff", "increase", "gradient", "above", "over", "heating", "überhöhung", "erwärmung", "anstieg")
	charged      = set("charge", "ladung", "laden", "chg")

	latitudes  = set("lat", "latitude", "breite", "breitengrad")
	heading    = set("cap") // in French
	longitudes = set("lon", "long", "lng", "longitude", "länge", "längengrad")
)

func set(words ...string) map[string]bool {
	m := map[string]bool{}
	for _, w := range words {
		m[w] = true
	}
	return m
}

// letters are heads, or the first words of heads, of one letter in its own case.
var letters = map[string]noun{
	"t": {Time, 9}, "s": {Time, 5}, "T": {Temperature, 8}, "V": {Voltage, 8}, "U": {Voltage, 8}, "u": {Voltage, 8},
	"A": {Current, 7}, "I": {Current, 8}, "i": {Current, 8}, "W": {Power, 6}, "P": {Power, 6}, "p": {Power, 6}, "v": {Speed, 5}, "Q": {ChargeCounter, 6}, "q": {ChargeCounter, 6},
}

// unitLetters are letters that may stand as the unit behind a qualifier alone: pack_V, load_A.
var unitLetters = map[string]Channel{"V": Voltage, "A": Current, "W": Power}

// unitChannel is the channel that a unit of the dimension speaks for.
var unitChannel = map[quantity.Dimension]Channel{
	quantity.Time: Time, quantity.Voltage: Voltage, quantity.Current: Current, quantity.Temperature: Temperature,
	quantity.Speed: Speed, quantity.Length: Distance, quantity.Charge: ChargeCounter, quantity.Energy: EnergyCounter,
	quantity.Power: Power, quantity.Rotation: Rotation,
}

// leastScore is the score below which a column is not taken for a channel.
const leastScore = 4
