// Other numbers: running times of packs made like a version's, from the points that were computed for them. The points, and
// what is said where there is none, come with the page; between them it goes by the rule of `voltwright explain run-time-grid`.
// Without this script the table below says the same for a few of them.
(() => {
  'use strict';

  // The parabola through the two points beside a place and a third; a straight line where there is no third. Points are
  // [place, value], rising.
  function onParabola(points, x) {
    const last = points.length - 1;
    if (last < 1 || x <= points[0][0]) return points[0][1];
    let i = 0;
    while (i < last - 1 && points[i + 1][0] <= x) i++;
    const [a, b] = [points[i], points[i + 1]];
    const straight = a[1] + (b[1] - a[1]) * (x - a[0]) / (b[0] - a[0]);
    const c = points[i + 2] || points[i - 1];
    if (!c) return straight;
    const bend = ((c[1] - a[1]) / (c[0] - a[0]) - (b[1] - a[1]) / (b[0] - a[0])) / (c[0] - b[0]);
    return straight + bend * (x - a[0]) * (x - b[0]);
  }

  const lineThrough = (points, x) => onParabola(points.slice(0, 2), x);

  // What is given at a load, as a part of the greatest that a row answers, on the row's own points.
  function given(row, x, column) {
    const top = Math.log(row.given[row.given.length - 1][0]);
    const points = row.given.map((g) => [Math.log(g[0]) - top, column === 2 ? g[2] / g[1] : g[column]]);
    return column === 2 ? lineBetween(points, x) : onParabola(points, x);
  }

  function lineBetween(points, x) {
    let i = 0;
    while (i < points.length - 2 && points[i + 1][0] <= x) i++;
    return points.length < 2 || x <= points[0][0] ? points[0][1] : lineThrough(points.slice(i), x);
  }

  // A time that is said, as the core says it.
  const soon = (seconds) => {
    if (seconds < 1) return 'at once';
    if (seconds >= 300) return clock(Math.round(seconds / 60));
    const whole = Math.round(seconds);
    return (whole >= 60 ? Math.floor(whole / 60) + ' min ' : '') + (whole % 60) + ' s';
  };

  const power = (watts) => (watts >= 1000 ? Number((watts / 1000).toPrecision(4)) + ' kW' : Number(watts.toPrecision(4)) + ' W');

  // Why there is no time: what the core says at the points beside the load, with its numbers between theirs.
  function refusal(points, row, p, load, capacity) {
    const nevers = row.refused.filter((f) => (p < row.refused[0].load || f.load <= p * 1.0000001));
    let near = nevers[nevers.length - 1];
    const next = row.refused[row.refused.indexOf(near) + 1];
    if (next && Math.log(next.load / p) < Math.log(p / near.load)) near = next;
    let said = near.words;
    if (near.times) {
      const timed = row.refused.filter((f) => f.times);
      near.times.forEach((_, k) => {
        const at = Math.expm1(lineBetween(timed.map((f) => [Math.log(f.load), Math.log1p(f.times[k])]), Math.log(p)));
        said = said.replace(['{from}', '{to}', '{likely}'][k], soon(at * points.running));
      });
    }
    if (near.limit) said = said.replace('{load}', power(load)).replace('{limit}', power(near.limit * capacity));
    return { refused: said };
  }

  const month = 30 * 24; // h that are computed

  function reckon(points, load, capacity, warmth) {
    if (!(load > 0) || !(capacity > 0) || Number.isNaN(warmth)) return { refused: points.says.nothing };
    const { rows } = points;
    if (!(warmth >= rows[0].ambient && warmth <= rows[rows.length - 1].ambient)) return { refused: points.says.outOfRange };
    if (points.trip && load / points.trip > points.volts) return { refused: points.tripped };
    const p = load / capacity;
    const answering = rows.filter((row) => row.given.length > 0);
    const nearest = rows.reduce((a, b) => (Math.abs(b.ambient - warmth) < Math.abs(a.ambient - warmth) ? b : a));
    const exact = rows.find((row) => row.ambient === warmth);
    if (answering.length === 0 || (exact && exact.given.length === 0)) return refusal(points, nearest, p, load, capacity);
    const of = (value) => onParabola(answering.map((row) => [row.ambient, value(row)]), warmth);
    const top = of((row) => Math.log(row.given[row.given.length - 1][0]));
    const x = Math.log(p) - top;
    if (x > 1e-6) return refusal(points, nearest, p, load, capacity);
    const energy = of((row) => given(row, x, 1));
    const hours = energy / p;
    if (hours > month) return { refused: nearest.refused[0].words };
    const part = of((row) => given(row, x, 2));
    return { seconds: 3600 * hours, part, charge: of((row) => given(row, x, 3)) * capacity, energy: energy * capacity };
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
      const say = (name, seconds, part) => {
        const at = said.querySelector(`[data-is=${name}]`);
        if (at) at.textContent = time(seconds, seconds * part);
      };
      say('time', r.seconds * points.running, Math.hypot(r.part, points.loose));
      say('under-load', r.seconds, r.part);
      say('clock', r.seconds * points.clock, r.part);
      for (const name of ['charge', 'energy']) said.querySelector(`[data-is=${name}]`).textContent = String(Number(r[name].toPrecision(3)));
    };
    form.addEventListener('input', show);
    form.addEventListener('submit', (event) => event.preventDefault());
    form.hidden = false;
    show();
  }
})();
