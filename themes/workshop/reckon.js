// Other numbers: run times of packs made like a version's, from the points that were computed for them. The points, and what
// is said where there is none, come with the page; between them it goes by the rule of `voltwright explain reckoner`. Without
// this script the table below says the same for a few of them.
(() => {
  'use strict';

  // The value on the parabola through the two points beside a place and a third; NaN where one beside it is not known.
  function onParabola(values, at) {
    const i = Math.floor(at + 1e-9);
    const x = at - i;
    if (i >= values.length || (i === values.length - 1 && x > 1e-9)) return NaN;
    const a = values[i];
    if (x < 1e-9) return a;
    const known = (k) => k >= 0 && k < values.length && !Number.isNaN(values[k]);
    const b = values[i + 1];
    const straight = a + (b - a) * x;
    if (known(i + 2)) return straight - (values[i + 2] - 2 * b + a) * x * (1 - x) / 2;
    if (known(i - 1)) return straight - (values[i - 1] - 2 * a + b) * x * (1 - x) / 2;
    return straight;
  }

  const numbers = (rows) => rows.map((row) => row.map((v) => (v === null ? NaN : v)));

  function reckon(points, load, capacity, warmth) {
    if (!(load > 0) || !(capacity > 0)) return { refused: points.says.nothing };
    const { loads, ambients } = points;
    if (!(warmth >= ambients[0] && warmth <= ambients[ambients.length - 1])) return { refused: points.says.outOfRange };
    const p = load / capacity;
    const at = Math.log(p / loads[0]) / Math.log(loads[1] / loads[0]);
    if (at < -1e-5) return { refused: points.says.tooLittle };
    const warm = (warmth - ambients[0]) / (ambients[1] - ambients[0]);
    const given = (rows) => onParabola(numbers(rows).map((row) => onParabola(row, Math.max(0, at))), warm);
    const energy = given(points.energy);
    if (Number.isNaN(energy)) return { refused: points.says.tooMuch };
    return { seconds: 3600 * energy / p, u: 3600 * given(points.u) / p, charge: given(points.charge) * capacity, energy: energy * capacity };
  }

  // An expanded uncertainty keeps two figures below 50, one from there on, and is not rounded to much less than it is.
  function roundUncertainty(u, finest) {
    const [mantissa, exponent] = u.toExponential(1).split('e');
    const place = Math.max(Number(exponent) - (mantissa < '5' ? 1 : 0), finest);
    const step = 10 ** place;
    let rounded = Math.round(u / step) * step;
    if (u - rounded > 0.04 * u) rounded += step;
    return { rounded, step };
  }

  const clock = (minutes) => (minutes >= 60 ? Math.floor(minutes / 60) + ' h ' : '') + (minutes % 60) + ' min';

  // A time with its uncertainty, to the minute; below a minute of uncertainty to the second.
  function time(seconds, u) {
    const plus = 2 * u;
    if (roundUncertainty(plus, -3).rounded < 60) {
      const { rounded, step } = roundUncertainty(plus, 0);
      const whole = Math.round(seconds / step) * step;
      const minutes = Math.floor(whole / 60);
      if (minutes === 0) return `(${whole} ± ${rounded}) s`;
      return `${clock(minutes)} ${whole % 60} s ± ${rounded} s`;
    }
    const { rounded, step } = roundUncertainty(plus / 60, 0);
    const minutes = Math.round(seconds / 60 / step) * step;
    if (minutes < 60 && rounded < 60) return `(${minutes} ± ${rounded}) min`;
    return `${clock(minutes)} ± ${rounded >= 60 ? clock(rounded) : rounded + ' min'}`;
  }

  for (const form of document.querySelectorAll('form.reckon')) {
    const points = JSON.parse(form.querySelector('script').textContent);
    const said = form.querySelector('.reckoned');
    const refused = form.querySelector('.refused');
    const show = () => {
      const value = (name) => form.elements[name].valueAsNumber;
      const r = reckon(points, value('load'), value('capacity'), value('warmth'));
      refused.hidden = !r.refused;
      said.hidden = Boolean(r.refused);
      if (r.refused) {
        refused.textContent = r.refused;
        return;
      }
      said.querySelector('[data-is=time]').textContent = time(r.seconds, r.u);
      for (const name of ['charge', 'energy']) said.querySelector(`[data-is=${name}]`).textContent = String(Number(r[name].toPrecision(3)));
    };
    form.addEventListener('input', show);
    form.addEventListener('submit', (event) => event.preventDefault());
    form.hidden = false;
    show();
  }
})();
