// Charts: a reader who reaches for a still picture gets one that can be read off and enlarged.
//
// Each figure.chart holds a still and names a script with the same plot as options (the form is fixed in the comment of Go
// package chart). Engine and plot are fetched when the first reader reaches: a mouse rests on the still, a finger taps it, a
// key or a press works the button. Whatever fails, the still stays.
//
// For tests: the event "voltwright:draw" on the document draws every figure; html[data-charts] then reads "n of m drawn".
(() => {
  'use strict';

  const rest = 160; // ms that a mouse rests on a still before it counts as reaching
  const scripts = new Map();
  const figures = new Map(); // figure → state

  // ---- what is loaded when somebody reaches: the engine, once for the page, and the plot of each figure ----

  // Loads a script once and gives what it leaves; as a script, since a page on disk can load nothing else.
  function loaded(url, left) {
    if (!scripts.has(url)) {
      scripts.set(url, new Promise((resolve, reject) => {
        const script = document.createElement('script');
        script.src = url;
        script.onload = () => (left() ? resolve(left()) : reject(new Error('nothing in ' + url)));
        script.onerror = () => { scripts.delete(url); reject(new Error(url + ' not found')); };
        document.head.append(script);
      }));
    }
    return scripts.get(url);
  }

  const engine = (figure) => loaded(figure.dataset.engine, () => globalThis.voltwrightChartEngine);
  const plot = (figure) => loaded(figure.dataset.plot, () => globalThis.voltwrightPlots && globalThis.voltwrightPlots[figure.id]);

  // ---- lettering: the rules of package chart, again, since the ticks move with the enlargement ----

  const clockSteps = [1, 2, 5, 10, 15, 30, 60, 120, 300, 600, 900, 1800, 3600, 7200, 10800, 21600, 43200, 86400, 172800];

  function roundStep(span, want) {
    for (let power = Math.floor(Math.log10(span / want)) - 1; ; power++) {
      for (const mantissa of [1, 2, 5]) {
        const step = power < 0 ? mantissa / 10 ** -power : mantissa * 10 ** power;
        if (span <= want * step * (1 + 1e-9)) return step;
      }
    }
  }

  function stepOf(axis, span, want) {
    if (axis.format !== 'clock' || span < want) return roundStep(span, want);
    let step = clockSteps.find((s) => span <= s * want) || clockSteps[clockSteps.length - 1];
    while (span > step * want) step *= 2;
    return step;
  }

  const decimalsOf = (step) => Math.max(0, -Math.floor(Math.log10(step) + 1e-9));

  // Days are counted from 1 January 1970; ticks go by the calendar.
  const dayMs = 86400000;
  const days = (year, month, day) => Date.UTC(year, month, day) / dayMs;
  const dayOf = (v) => new Date(Math.floor(v) * dayMs);
  const daySteps = [{ days: 1 }, { days: 2 }, { days: 7 }, { days: 14 }, { months: 1 }, { months: 2 }, { months: 3 }, { months: 6 },
    { years: 1 }, { years: 2 }, { years: 5 }, { years: 10 }, { years: 20 }, { years: 50 }, { years: 100 }];
  const months = ['January', 'February', 'March', 'April', 'May', 'June', 'July', 'August', 'September', 'October', 'November', 'December'];

  function dayTicks(step, lo, hi, most) {
    const out = [];
    const put = (v) => { if (v >= lo - 1e-9) out.push(v); };
    let year = dayOf(lo).getUTCFullYear();
    let month = step.days ? dayOf(lo).getUTCMonth() : 0;
    if (step.years) year -= ((year % step.years) + step.years) % step.years;
    while (out.length <= most) {
      const start = days(year, month, 1);
      if (start > hi + 1e-9) break;
      if (step.years) {
        put(start);
        year += step.years;
      } else if (step.months) {
        put(start);
        month += step.months;
      } else {
        const last = new Date(Date.UTC(year, month + 1, 0)).getUTCDate();
        for (let day = 1; day + Math.floor(step.days / 2) <= last; day += step.days) if (days(year, month, day) <= hi + 1e-9) put(days(year, month, day));
        month += 1;
      }
      if (month > 11) { year += 1; month = 0; }
    }
    return out;
  }

  function dayScale(from, to, want) {
    let ticks = [];
    for (const step of daySteps) {
      ticks = dayTicks(step, from, to, want);
      if (ticks.length <= want) break;
    }
    const years = [from, to].map((v) => dayOf(v).getUTCFullYear());
    const close = ticks.length > 1 && ticks[1] - ticks[0] < 28;
    return { ticks, step: to - from, decimals: close ? 1 : 0, unit: years[0] === years[1] ? String(years[0]) : '' };
  }

  function dayLetters(v, close) {
    const t = dayOf(v);
    if (t.getUTCMonth() === 0 && t.getUTCDate() === 1) return String(t.getUTCFullYear());
    const month = months[t.getUTCMonth()].slice(0, 3);
    return close || t.getUTCDate() > 1 ? t.getUTCDate() + ' ' + month : month;
  }

  function ticksOf(axis, from, to, want) {
    if (axis.format === 'day') return dayScale(from, to, want);
    const step = stepOf(axis, to - from, want);
    const decimals = decimalsOf(step);
    const ticks = [];
    for (let k = Math.ceil(from / step - 1e-9); k <= Math.floor(to / step + 1e-9); k++) ticks.push(Number((k * step).toFixed(decimals)));
    return { ticks, step, decimals, unit: axis.format === 'clock' ? clockUnit(Math.max(Math.abs(from), Math.abs(to)), step) : axis.unit };
  }

  function clockUnit(far, step) {
    const whole = (unit) => step >= unit && step % unit === 0;
    if (far <= 180) return 's';
    if (far <= 7200) return whole(60) ? 'min' : 'min:s';
    return whole(3600) ? 'h' : whole(60) ? 'h:min' : 'h:min:s';
  }

  const two = (v) => String(v).padStart(2, '0');

  function clock(seconds, unit, decimals) {
    const sign = seconds < 0 ? '−' : '';
    const s = Math.abs(seconds);
    if (unit === 's') return sign + s.toFixed(decimals);
    if (unit === 'min') return sign + Math.round(s / 60);
    if (unit === 'h') return sign + Math.round(s / 3600);
    const scaled = Math.round(s * 10 ** decimals);
    const minutes = Math.floor(scaled / (60 * 10 ** decimals));
    let left = ((scaled - minutes * 60 * 10 ** decimals) / 10 ** decimals).toFixed(decimals);
    if (left.length < 2 || left[1] === '.') left = '0' + left;
    if (unit === 'min:s') return sign + minutes + ':' + left;
    const text = sign + Math.floor(minutes / 60) + ':' + two(minutes % 60);
    return unit === 'h:min:s' ? text + ':' + left : text;
  }

  function number(v, decimals) {
    const text = v.toFixed(decimals);
    return Number(text) === 0 ? text.replace('-', '') : text.replace('-', '−');
  }

  const letter = (axis, v, unit, decimals) => (axis.format === 'day' ? dayLetters(v, decimals > 0) : axis.format === 'clock' ? clock(v, unit, decimals) : number(v, decimals));

  // A value that is read off, with its unit: "1:02:05.5", "23.41 V".
  function readX(axis, x, span) {
    if (axis.format === 'day') return dayOf(x).getUTCDate() + ' ' + months[dayOf(x).getUTCMonth()] + ' ' + dayOf(x).getUTCFullYear();
    if (axis.format !== 'clock') return axis.label + ' ' + number(x, decimalsOf(span / 2000)) + (axis.unit ? '\u2009' + axis.unit : '');
    const decimals = span < 20 ? 2 : span < 200 ? 1 : 0;
    const unit = Math.abs(x) >= 3600 ? 'h:min:s' : Math.abs(x) >= 180 ? 'min:s' : 's';
    const text = clock(x, unit, decimals);
    if (unit === 's') return text + '\u2009s';
    return unit === 'min:s' ? text.replace(':', '\u2009min ') + '\u2009s' : text.replace(':', '\u2009h ').replace(':', '\u2009min ') + '\u2009s';
  }

  // ---- the look, read from charts.css ----

  function looks(figure) {
    const svg = document.createElementNS('http://www.w3.org/2000/svg', 'svg');
    svg.setAttribute('class', 'chart-drawing chart-probe');
    svg.setAttribute('aria-hidden', 'true');
    figure.append(svg);
    const read = (tag, classes) => {
      const el = document.createElementNS('http://www.w3.org/2000/svg', tag);
      el.setAttribute('class', classes);
      svg.append(el);
      const style = getComputedStyle(el);
      const dash = style.strokeDasharray === 'none' ? 'solid' : style.strokeDasharray.split(/[ ,]+/).map(parseFloat);
      const look = {
        stroke: style.stroke, fill: style.fill, width: parseFloat(style.strokeWidth), dash,
        opacity: parseFloat(style.opacity), face: style.fontFamily,
      };
      el.remove();
      return look;
    };
    return { read, done: () => svg.remove() };
  }

  // ---- one figure ----

  function stateOf(figure) {
    let state = figures.get(figure);
    if (!state) {
      state = {
        figure,
        still: figure.querySelector('.chart-still'),
        live: figure.querySelector('.chart-live'),
        button: figure.querySelector('.chart-closer'),
        label: '', chart: null, drawing: null, declined: false, at: -1,
      };
      figures.set(figure, state);
    }
    return state;
  }

  function draw(figure) {
    const state = stateOf(figure);
    if (!state.drawing) {
      state.drawing = Promise.all([engine(figure), plot(figure)]).then(([e, p]) => mount(state, e, p)).catch(() => {
        figure.dataset.chart = 'still';
        state.drawing = null;
        back(state, false);
      });
    }
    return state.drawing;
  }

  function mount(state, e, drawn) {
    const { figure, still, live, button } = state;
    state.plot = drawn;
    const box = still.getBoundingClientRect();
    live.textContent = '';
    const surface = document.createElement('div');
    surface.className = 'chart-surface';
    const reading = document.createElement('output');
    reading.className = 'chart-reading';
    const readout = document.createElement('table');
    readout.className = 'chart-readout';
    readout.hidden = true;
    readout.setAttribute('aria-hidden', 'true'); // the same is said by the output element
    state.readout = readout;
    live.append(surface, readout, reading);
    live.hidden = false;
    surface.style.height = Math.round(Math.max(box.height, 320)) + 'px';
    state.surface = surface;
    state.size = state.size || letteringOf(still);
    state.reading = reading;
    const x = asList(state.plot.option.xAxis)[0];
    state.full = [x.min, x.max];
    state.window = state.window || state.full.slice();
    state.chart = e.init(surface, null, { renderer: 'svg' });
    state.chart.setOption(dress(state));
    state.chart.on('datazoom', () => {
      const zoom = state.chart.getOption().dataZoom[0];
      state.window = [zoom.startValue, zoom.endValue];
      state.chart.setOption({ xAxis: ticked(state) });
    });
    state.chart.on('updateAxisPointer', (event) => hover(state, event.axesInfo && event.axesInfo.length ? event.axesInfo[0].value : undefined));
    still.hidden = true;
    live.tabIndex = 0;
    live.setAttribute('role', 'group');
    live.setAttribute('aria-label', still.querySelector('title').textContent + '. Arrow keys read values, plus and minus enlarge, Escape goes back.');
    if (button) {
      state.label = state.label || button.textContent;
      button.textContent = 'Back to the still';
    }
    if (!state.keys) {
      state.keys = document.createElement('span');
      state.keys.className = 'chart-keys';
      state.keys.textContent = 'Enlarge with the bar or Ctrl and wheel, drag to move. Keys: ← → read, + − enlarge, Esc goes back.';
      figure.querySelector('.chart-tools')?.append(state.keys);
    }
    state.keys.hidden = false;
    if (!state.watch) {
      state.watch = new ResizeObserver(() => {
        if (!state.chart || !surface.isConnected) return;
        state.chart.resize();
        state.chart.setOption({ xAxis: ticked(state) });
      });
    }
    state.watch.observe(surface);
    figure.dataset.chart = 'live';
    count();
  }

  function back(state, declined) {
    const { still, live, button } = state;
    if (state.chart) state.chart.dispose();
    state.watch?.disconnect();
    state.watch = null;
    state.chart = null;
    state.drawing = null;
    state.window = null;
    state.declined = declined;
    live.hidden = true;
    live.textContent = '';
    live.removeAttribute('tabindex');
    still.hidden = false;
    if (button && state.label) button.textContent = state.label;
    if (state.keys) state.keys.hidden = true;
    state.figure.dataset.chart = 'still';
    count();
  }

  function count() {
    const all = document.querySelectorAll('figure.chart');
    const drawn = document.querySelectorAll('figure.chart[data-chart="live"]');
    document.documentElement.dataset.charts = drawn.length + ' of ' + all.length + ' drawn';
  }

  // ---- dressing the options ----

  const asList = (v) => (Array.isArray(v) ? v : [v]);

  // The size of the lettering in pixels, as it is on the still at this width.
  function letteringOf(still) {
    for (const svg of still.querySelectorAll('svg')) {
      const width = svg.getBoundingClientRect().width;
      if (width > 0) return Math.round(Math.min(Math.max(width / svg.viewBox.baseVal.width * svg.getAttribute('font-size'), 12), 17));
    }
    return 14;
  }

  // The x axes, one in each panel, with the ticks of the window; only the lowest is lettered.
  function ticked(state) {
    const { look, plot } = state;
    const axis = plot.lettering.x;
    const narrow = state.surface.clientWidth < 576;
    const t = ticksOf(axis, state.window[0], state.window[1], narrow ? 5 : 9);
    const all = asList(plot.option.xAxis);
    return all.map((a, k) => {
      const lowest = k === all.length - 1;
      return {
        name: lowest ? axis.label + (t.unit ? ' in ' + t.unit : '') : '',
        axisTick: { customValues: t.ticks, show: true, length: 6, lineStyle: look.rule.lineStyle },
        axisLabel: {
          ...look.text, show: lowest, customValues: t.ticks, formatter: (v) => letter(axis, v, t.unit, t.decimals),
          hideOverlap: true, showMinLabel: true, showMaxLabel: true,
        },
      };
    });
  }

  // The heights of the panels, in the proportions of the still.
  function laidOut(state) {
    const { size } = state;
    const count = asList(state.plot.option.xAxis).length;
    const bands = state.plot.option.series.some((s) => s.markArea);
    const top = size * (bands ? 3.2 : 2);
    const below = size * 3.2 + 44;
    const height = state.surface.clientHeight - top - below;
    if (count === 1) return [{ top, height }];
    const between = size * 2.8;
    const upper = Math.round((height - between) * 0.68);
    return [{ top, height: upper }, { top: top + upper + between, height: height - between - upper }];
  }

  function readLook(state) {
    const { figure, plot, size } = state;
    const probe = looks(figure);
    const text = probe.read('text', 'c-head');
    const axis = probe.read('path', 'c-axis');
    const mark = probe.read('circle', 'c-mark');
    const look = {
      text: { color: text.fill, fontFamily: text.face, fontSize: size },
      rule: { show: true, onZero: false, lineStyle: { color: axis.stroke, width: axis.width } },
      paper: mark.fill, axis, mark,
      grid: probe.read('path', 'c-grid'), level: probe.read('path', 'c-level'),
      hatch: probe.read('path', 'c-hatch'), edge: probe.read('path', 'c-edge'),
      series: plot.lettering.series.map((s) => ({
        line: probe.read('path', s.line), symbol: probe.read('path', s.symbolClass), name: probe.read('text', s.nameClass),
      })),
    };
    look.note = { ...look.text, textBorderColor: look.paper, textBorderWidth: 4 };
    probe.done();
    return look;
  }

  function dress(state) {
    const { plot, size } = state;
    const letters = plot.lettering;
    const look = readLook(state);
    state.look = look;
    const option = structuredClone(plot.option);
    const places = letters.places[state.surface.clientWidth < 576 ? 'narrow' : 'wide'];
    const panels = laidOut(state);
    const yLabels = letters.y.map((a) => a.ticks.map((v) => letter(a, v, a.unit, a.decimals)));
    const left = Math.ceil(Math.max(...yLabels.flat().map((l) => l.length)) * size * 0.6 + 14);
    const right = size;

    option.animation = false;
    option.textStyle = { fontFamily: look.text.fontFamily, fontSize: size };
    option.grid = panels.map((p) => ({ left, right, top: p.top, height: p.height, outerBoundsMode: 'none' }));
    const x = ticked(state);
    option.xAxis = asList(option.xAxis).map((a, k) => ({
      ...a, ...x[k],
      nameLocation: 'end', nameGap: 0, nameMoveOverlap: false,
      nameTextStyle: { ...look.text, align: 'right', verticalAlign: 'top', padding: [size * 2.1, 0, 0, 0] },
      axisLine: look.rule, splitLine: { show: false },
      axisPointer: { show: true, snap: true, type: 'line', animation: false, triggerTooltip: false, label: { show: false }, lineStyle: { color: look.text.color, width: 0.8, type: 'solid' } },
    }));
    option.yAxis = asList(option.yAxis).map((a, k) => {
      const l = letters.y[k];
      return {
        ...a,
        name: l.head, nameLocation: 'end', nameGap: k === 0 ? panels[0].top - size * 1.1 : size * 1.05, nameMoveOverlap: false,
        nameTextStyle: { ...look.text, align: 'left', padding: [0, 0, 0, -left] },
        axisLine: look.rule,
        axisTick: { show: true, length: 6, lineStyle: look.rule.lineStyle, customValues: l.ticks },
        axisLabel: { ...look.text, customValues: l.ticks, formatter: (v) => letter(l, v, l.unit, l.decimals), showMinLabel: true, showMaxLabel: true },
        splitLine: { show: true, lineStyle: { color: look.grid.stroke, width: look.grid.width } },
      };
    });

    option.series.forEach((s, i) => {
      const l = letters.series[i];
      const { line, symbol, name } = look.series[i];
      s.z = 3 + option.series.length - i;
      s.clip = true;
      s.lineStyle = { color: line.stroke === 'none' ? 'transparent' : line.stroke, width: line.width, type: line.dash, opacity: 1 };
      s.itemStyle = { color: look.paper, borderColor: symbol.stroke, borderWidth: symbol.width };
      s.symbol = l.symbol;
      s.symbolSize = 8;
      s.showAllSymbol = s.showSymbol;
      s.emphasis = { scale: false, lineStyle: s.lineStyle, itemStyle: s.itemStyle };
      if (s.markLine) dressLevels(s.markLine, letters.levels.flatMap((panel, k) => (panel === l.panel ? [places.levels[k]] : [])), look);
      const named = l.named && places.series && places.series[i];
      if (s.markPoint || named) s.markPoint = dressPoints(s, named, name, places, look);
      if (s.markArea) dressBands(s.markArea, l.panel === 0 ? places.bands : [], look);
    });

    option.axisPointer = { link: [{ xAxisIndex: 'all' }] };
    const every = { xAxisIndex: option.xAxis.map((a, k) => k), filterMode: 'none', startValue: state.window[0], endValue: state.window[1] };
    option.dataZoom = [
      { type: 'inside', ...every, zoomOnMouseWheel: 'ctrl', moveOnMouseMove: true, moveOnMouseWheel: false },
      {
        type: 'slider', ...every, left, right, bottom: 12, height: 14, showDataShadow: false, showDetail: false, brushSelect: false,
        backgroundColor: 'transparent', borderColor: look.axis.stroke, borderRadius: 0, fillerColor: hatched(look), moveHandleSize: 0,
        handleSize: 22, handleIcon: 'path://M0 0H5V14H0Z', handleStyle: { color: look.paper, borderColor: look.axis.stroke, borderWidth: 1 },
        emphasis: { handleStyle: { color: look.axis.stroke, borderColor: look.axis.stroke } },
      },
    ];
    return option;
  }

  function dressLevels(levels, at, look) {
    Object.assign(levels, {
      silent: true, symbol: 'none', animation: false, emphasis: { disabled: true },
      lineStyle: { color: look.level.stroke, width: look.level.width, type: look.level.dash },
      label: { ...look.note, show: true, formatter: '{b}', position: 'insideEndTop' },
    });
    levels.data = levels.data.map((d, k) => (at[k] ? { ...d, label: { position: 'inside' + at[k].at + at[k].on } } : d));
  }

  // The points that are pointed out, with their labels where the still has them, and the name of the line.
  function dressPoints(s, named, name, places, look) {
    const points = s.markPoint ? s.markPoint.data.map((d) => {
      const at = places.marks[d.value];
      return {
        ...d, symbol: 'circle', symbolSize: 8,
        label: { ...look.note, show: true, formatter: '{b}', ...(at ? { position: [4 + at.dx, 4 + at.dy], align: at.align, verticalAlign: 'bottom', offset: [0, look.text.fontSize * 0.24] } : { position: 'top' }) },
      };
    }) : [];
    if (named) {
      points.push({
        coord: [named.x, named.y], name: s.name, symbol: 'circle', symbolSize: 0.01,
        label: { ...look.note, color: name.fill, show: true, formatter: '{b}', position: [0, 0], align: named.align, verticalAlign: 'bottom', offset: [0, look.text.fontSize * 0.24] },
      });
    }
    return {
      silent: true, animation: false, emphasis: { disabled: true },
      itemStyle: { color: look.paper, borderColor: look.mark.stroke, borderWidth: look.mark.width }, data: points,
    };
  }

  function dressBands(bands, at, look) {
    Object.assign(bands, {
      silent: true, animation: false, emphasis: { disabled: true },
      itemStyle: { color: hatched(look), borderColor: look.edge.stroke, borderWidth: look.edge.width },
      label: { ...look.note, show: false, formatter: '{b}' },
    });
    bands.data = bands.data.map(([from, to], k) => (at[k] ? [{ ...from, label: { show: true, position: [at[k].at * 100 + '%', -look.text.fontSize * 0.32], align: at[k].align, verticalAlign: 'bottom' } }, to] : [from, to]));
  }

  function hatched(look) {
    const { stroke, width, opacity } = look.hatch;
    const d = 'M0 10L10 0M-2 2L2 -2M8 12L12 8';
    return {
      svgElement: { tag: 'path', key: 'hatch', attrs: { d, stroke, 'stroke-width': width, 'stroke-opacity': opacity, fill: 'none' } },
      svgWidth: 10, svgHeight: 10,
    };
  }

  // ---- reading off ----

  function nearest(data, x) {
    let low = 0;
    let high = data.length - 1;
    while (low < high) {
      const mid = (low + high) >> 1;
      if (data[mid][0] < x) low = mid + 1; else high = mid;
    }
    if (low > 0 && x - data[low - 1][0] <= data[low][0] - x) low--;
    return low;
  }

  // What is read off at x: the place, then name and value of the nearest point of each series.
  function readAt(state, x) {
    const { option, lettering } = state.plot;
    const rows = option.series.map((s, i) => {
      const l = lettering.series[i];
      const y = s.data[nearest(s.data, x)][1];
      const unit = lettering.y[l.panel].unit;
      return [s.name, y === null ? 'no reading' : number(y, l.decimals) + (unit ? '\u2009' + unit : '')];
    });
    return { place: readX(lettering.x, x, state.window[1] - state.window[0]), rows };
  }

  // The read-out beside the line that follows the pointer.
  function hover(state, x) {
    const { readout, chart, surface } = state;
    if (x === undefined || x < state.window[0] || x > state.window[1]) {
      readout.hidden = true;
      return;
    }
    const { place, rows } = readAt(state, x);
    const head = document.createElement('caption');
    head.textContent = place;
    readout.replaceChildren(head, ...rows.map(([name, value]) => {
      const tr = document.createElement('tr');
      const th = document.createElement('th');
      const td = document.createElement('td');
      th.scope = 'row';
      th.textContent = name;
      td.textContent = value;
      tr.append(th, td);
      return tr;
    }));
    readout.hidden = false;
    const at = chart.convertToPixel({ xAxisIndex: 0 }, x);
    const right = at + 12 + readout.offsetWidth <= surface.clientWidth;
    readout.style.left = Math.max(0, right ? at + 12 : at - 12 - readout.offsetWidth) + 'px';
    const panel = laidOut(state)[0];
    const first = state.plot.option.series[0];
    const line = chart.convertToPixel({ yAxisIndex: 0 }, first.data[nearest(first.data, x)][1] || 0);
    const clear = line - panel.top > readout.offsetHeight + 16; // above the line, else at the foot of the panel
    readout.style.top = (clear ? panel.top + 8 : panel.top + panel.height - readout.offsetHeight - 8) + 'px';
  }

  function show(state, index) {
    const data = state.plot.option.series[0].data;
    state.at = Math.min(Math.max(index, 0), data.length - 1);
    const x = data[state.at][0];
    if (x < state.window[0] || x > state.window[1]) move(state, x);
    state.chart.dispatchAction({ type: 'updateAxisPointer', seriesIndex: 0, dataIndex: state.at });
    hover(state, x);
    const { place, rows } = readAt(state, x);
    state.reading.textContent = [place, ...rows.map((r) => r.join(' '))].join(', ');
  }

  // Moves the window, as wide as it is, so that x is in its middle.
  function move(state, x) {
    const span = state.window[1] - state.window[0];
    const start = Math.min(Math.max(x - span / 2, state.full[0]), state.full[1] - span);
    state.chart.dispatchAction({ type: 'dataZoom', startValue: start, endValue: start + span });
  }

  function enlarge(state, factor) {
    const [from, to] = state.window;
    const data = state.plot.option.series[0].data;
    const centre = state.at >= 0 ? data[state.at][0] : (from + to) / 2;
    const span = Math.min((to - from) * factor, state.full[1] - state.full[0]);
    const start = Math.min(Math.max(centre - span / 2, state.full[0]), state.full[1] - span);
    state.chart.dispatchAction({ type: 'dataZoom', startValue: start, endValue: start + span });
  }

  function pressed(event) {
    const state = stateOf(event.currentTarget.closest('figure.chart'));
    if (!state.chart || event.ctrlKey || event.metaKey || event.altKey) return;
    const data = state.plot.option.series[0].data;
    const [from, to] = [nearest(data, state.window[0]), nearest(data, state.window[1])];
    const stride = Math.max(1, Math.round((to - from) / 100)) * (event.shiftKey ? 10 : 1);
    const at = state.at < 0 ? from - stride : state.at;
    switch (event.key) {
      case 'ArrowRight': show(state, at + stride); break;
      case 'ArrowLeft': show(state, at - stride); break;
      case 'Home': show(state, from); break;
      case 'End': show(state, to); break;
      case '+': case '=': enlarge(state, 0.5); break;
      case '-': case '−': enlarge(state, 2); break;
      case 'Escape': back(state, true); state.button?.focus(); break;
      default: return;
    }
    event.preventDefault();
  }

  // ---- reaching ----

  function watch(figure) {
    const state = stateOf(figure);
    if (!state.still || !state.live || !figure.dataset.engine || !figure.dataset.plot) return;
    let timer = 0;
    state.still.addEventListener('pointerenter', (event) => {
      if (event.pointerType !== 'mouse' || state.declined) return;
      timer = setTimeout(() => draw(figure), rest);
    });
    state.still.addEventListener('pointerleave', () => clearTimeout(timer));
    state.still.addEventListener('click', () => draw(figure));
    state.live.addEventListener('keydown', pressed);
    if (!state.button) return;
    state.button.hidden = false;
    state.button.addEventListener('focus', () => { Promise.all([engine(figure), plot(figure)]).catch(() => {}); });
    state.button.addEventListener('click', () => {
      if (state.chart) {
        back(state, true);
        return;
      }
      draw(figure).then(() => { if (state.chart) state.live.focus({ preventScroll: true }); });
    });
  }

  for (const figure of document.querySelectorAll('figure.chart')) watch(figure);
  count();

  document.addEventListener('voltwright:draw', () => {
    for (const figure of document.querySelectorAll('figure.chart')) draw(figure);
  });

  matchMedia('(prefers-color-scheme: dark)').addEventListener('change', () => {
    for (const state of figures.values()) if (state.chart) state.chart.setOption(dress(state));
  });
})();
