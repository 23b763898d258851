// Search: asks the index of the site (search/index.js, a script so that it loads from disk too) for the words in the
// field. Folding, stemming and ranking are here and nowhere else: the index is the text as it stands. The query is the
// form's own, ?q=, so that back, forward and links work without any of this.
(() => {
  'use strict';

  const form = document.getElementById('seek');
  if (!form) return;
  const field = form.elements.q;
  const count = document.getElementById('found-count');
  const found = document.getElementById('found');
  const hint = [...count.childNodes].map(n => n.cloneNode(true));
  const english = document.documentElement.lang.toLowerCase().startsWith('en');

  // ---- words ----

  const letters = { 'ß': 'ss', 'æ': 'ae', 'œ': 'oe', 'ø': 'o', 'ł': 'l', 'đ': 'd', 'ð': 'd', 'þ': 'th', 'ω': 'ohm', 'μ': 'u', '°': '', '’': "'" };

  // fold is a word without case, accents and raised figures: "Mm²" gives mm2, "mΩ" mohm, "2,5" 2.5.
  function fold(word) {
    return word.toLowerCase().normalize('NFKD').replace(/\p{M}/gu, '').replace(/[ßæœøłđðþωμ°’]/g, c => letters[c]).replace(/(\d),(?=\d)/g, '$1.');
  }

  // stem takes plural, -ing and -ed off a folded word, and evens out the spellings of British and American English. It
  // is the same for what is sought and what is found, so a stem need be no word; where in doubt it lets words meet.
  function stem(word) {
    word = word.replace(/'s?$/, '').replace(/'/g, '');
    if (!english || word.length < 3 || /\d/.test(word)) return word;
    if (word.length === 3) return word.replace(/e$/, '');
    if (/ies$/.test(word)) word = word.slice(0, -3) + 'y';
    else if (/(?:s|x|z|ch|sh)es$/.test(word)) word = word.slice(0, -2);
    else if (/[^sui]s$/.test(word)) word = word.slice(0, -1);
    const cut = word.replace(/(?:ing|ied|(?<!e)ed)$/, s => s === 'ied' ? 'y' : '');
    if (/[aeiouy]/.test(cut) && cut.length > 1) word = cut;
    word = word.replace(/our$/, 'or').replace(/([^aeiou])re$/, '$1er').replace(/e$/, '');
    return word.replace(/ys$/, 'yz').replace(/is(ation)?$/, 'iz$1').replace(/([^aeiou])\1$/, '$1');
  }

  // Units that are written as words, as they stand behind a number.
  const units = { volt: 'v', volts: 'v', amp: 'a', amps: 'a', ampere: 'a', amperes: 'a', watt: 'w', watts: 'w', ohm: 'ohm', ohms: 'ohm',
    hour: 'h', hours: 'h', hrs: 'h', hr: 'h', minute: 'min', minutes: 'min', mins: 'min', second: 's', seconds: 's', secs: 's', sec: 's',
    percent: '%', lbs: 'lb', pounds: 'lb', kilos: 'kg', kilograms: 'kg', kph: 'km', sqmm: 'mm2', gauge: 'awg', cells: 'cell' };
  const pattern = /\d+(?:[.,]\d+)*|[\p{L}%°Ωµμ][\p{L}\p{M}\p{N}]*(?:['’]\p{L}+)*/gu;

  // terms are the words of a text: where each stands, folded, its stem, and in joins what it makes with the next one:
  // "24 V", "(24.0 ± 0.5) V" and "24V" have 24v, "cut-out" has cutout, "AWG 14" has 14awg.
  function terms(text) {
    const all = [];
    for (const m of text.matchAll(pattern)) {
      const word = fold(m[0]);
      if (word) all.push({ start: m.index, end: m.index + m[0].length, word, stem: stem(word), number: /^\d/.test(word) });
    }
    for (let i = 0; i + 1 < all.length; i++) {
      const a = all[i], gap = text.slice(a.end, all[i + 1].start);
      let to = i + 1;
      if (a.number && /^\s*±\s*$/.test(gap) && i + 2 < all.length) to = i + 2;
      const b = all[to], before = text.slice(all[to - 1].end, b.start);
      if (a.number && !b.number && /^\)?[\s-]*$/.test(before)) a.join = { word: a.word + (units[b.word] || stem(b.word)), end: b.end, to };
      else if (!a.number && b.number && a.word === 'awg' && /^\s*$/.test(gap)) a.join = { word: b.word + a.word, end: b.end, to };
      else if (!a.number && !b.number && /^[-‐‑]$/.test(gap)) a.join = { word: stem(a.word + b.word), end: b.end, to };
    }
    return all;
  }

  // ---- the index ----

  const idle = new Set(('a an and any are as at be been being but by can could did do does doing for from get give had has have he her his how i if in into is it its '
    + 'just me must my need no of on or our out shall she should so some than that the their them then there these they this those to use used want was we were what when where '
    + 'which while who whom why will with would you your').split(' '));
  const weightOf = { title: 8, also: 7, heading: 5, heads: 4, under: 2, of: 2, text: 1 };
  let index = null;

  // made is the index as it is asked: pieces of text by the words in them, places by their pieces.
  function made(data) {
    const vocabulary = new Map(); // stem → { pieces: Set, at }
    const surfaces = new Map();   // folded word → { stem, times }
    const pieces = [];            // text → its stems in order
    const inPlaces = [];          // text → [place, what it is there]
    const numbers = new Map();
    const note = (key, piece) => {
      const v = vocabulary.get(key);
      if (v) v.add(piece); else vocabulary.set(key, new Set([piece]));
    };
    const piece = text => {
      let n = numbers.get(text);
      if (n !== undefined) return n;
      n = pieces.length;
      numbers.set(text, n);
      const list = terms(text);
      pieces.push(list.map(t => t.stem));
      inPlaces.push([]);
      for (const t of list) {
        note(t.stem, n);
        if (t.join) note(t.join.word, n);
        const s = surfaces.get(t.word);
        if (s) s.times++; else surfaces.set(t.word, { stem: t.stem, times: 1 });
      }
      return n;
    };
    data.texts.forEach(piece);
    const places = data.places.map(([sheet, anchor, heading, under, heads, texts], at) => {
      const s = data.sheets[sheet];
      const says = (text, as) => inPlaces[piece(text)].push([at, as]);
      const titles = [s.t, ...s.a || []].map(piece); // its title, and the other ways in which it is asked
      says(s.t, 'title');
      for (const a of s.a || []) says(a, 'also');
      if (s.o) says(s.o, 'of');
      says(s.k, 'of');
      says(data.texts[heading], 'heading');
      if (data.texts[under]) says(data.texts[under], 'under');
      for (const h of heads) says(data.texts[h], 'heads');
      for (const t of texts) says(data.texts[t], 'text');
      return { sheet: s, anchor, titles, heading: data.texts[heading], under: data.texts[under], texts: [...texts, ...heads].map(t => data.texts[t]) };
    });
    const forms = [];
    for (const group of data.words) {
      const ways = group.map(form => {
        const list = terms(form), loaded = list.filter(t => !idle.has(t.word));
        const way = (loaded.length > 1 ? loaded : list).map(t => t.stem);
        return { way, within: way.length < list.length ? 6 : 1, whole: list.map(t => t.stem) };
      });
      for (const form of ways) forms.push({ ...form, ways });
    }
    forms.sort((a, b) => b.whole.length - a.whole.length);
    return { vocabulary, surfaces, pieces, inPlaces, places, forms, sheets: data.sheets };
  }

  // ---- a query ----

  // asked turns a query into what must all occur, each in one of several ways. A way is a run of stems; those of a form
  // with small words in it ("how long it runs") need only stand near each other, in their order. Together, words that make
  // a form of the trade are one thing; else each word is one.
  function asked(query, together) {
    const list = terms(query);
    const open = !/\s$/.test(query); // the last word is still being typed
    const out = [];
    for (let i = 0; i < list.length;) {
      const t = list[i];
      let to = i + 1;
      const want = { ways: [], starts: false };
      const joined = t.join && index.forms.find(f => f.whole.length === 1 && f.whole[0] === t.join.word);
      const form = index.forms.find(f => (together || f.whole.length === 1) && f.whole.every((s, k) => list[i + k] && list[i + k].stem === s));
      if (t.join && (t.number || t.word === 'awg')) { // "24 V": side by side, or, where no sheet has them so, both
        to = t.join.to + 1;
        if (index.vocabulary.has(t.join.word)) want.ways.push({ way: [t.join.word], within: 1 });
        else want.ways.push({ way: list.slice(i, to).map(x => x.stem), within: Infinity });
      } else if (joined) {
        to = t.join.to + 1;
        want.ways.push(...joined.ways);
      } else if (form) {
        to = i + form.whole.length;
        for (const f of index.forms) if (f.whole.join(' ') === form.whole.join(' ')) want.ways.push(...f.ways);
      } else if (t.join) { // "cut-out" as one word, or its parts side by side
        to = t.join.to + 1;
        want.ways.push({ way: [t.join.word], within: 1 }, { way: list.slice(i, to).map(x => x.stem), within: 1 });
      } else {
        want.ways.push({ way: [t.stem], within: 1 });
      }
      want.starts = open && to === i + 1 && to === list.length && t.word.length > 1;
      want.typed = list.slice(i, to).map(x => x.stem).join(' ');
      want.said = query.slice(t.start, list[to - 1].end);
      want.idle = to === i + 1 && idle.has(t.word) && !form;
      want.last = list[to - 1].word;
      out.push(want);
      i = to;
    }
    const loaded = out.filter(w => !w.idle);
    return loaded.length ? loaded : out;
  }

  // follows gives where a way that begins at a word of a text ends, -1 where it does not stand there.
  function follows(stems, at, { way, within }) {
    if (stems[at] !== way[0]) return -1;
    for (let k = 1; k < way.length; k++) {
      const next = stems.indexOf(way[k], at + 1);
      if (next < 0 || next - at > within) return -1;
      at = next;
    }
    return at;
  }

  // piecesWith are the pieces of text that have what is wanted, each with how well: 1 as it was typed, less where it is
  // said in another way or only begins so.
  function piecesWith(want) {
    const hits = new Map();
    const add = (piece, worth) => { if ((hits.get(piece) || 0) < worth) hits.set(piece, worth); };
    want.marks = [];
    for (const way of want.ways) {
      const sets = way.way.map(s => index.vocabulary.get(s));
      if (sets.some(s => !s)) continue;
      want.marks.push(way);
      const worth = want.ways.length === 1 || way.way.join(' ') === want.typed ? 1 : .8;
      for (const piece of sets[0]) {
        if (way.way.length === 1 || sets.every(s => s.has(piece)) && (way.within === Infinity || index.pieces[piece].some((_, at) => follows(index.pieces[piece], at, way) >= 0))) add(piece, worth);
      }
    }
    if (want.starts) {
      for (const [word, { stem: s }] of index.surfaces) {
        if (!word.startsWith(want.last) || want.ways.some(w => w.way.length === 1 && w.way[0] === s)) continue;
        want.marks.push({ way: [s], within: 1 });
        for (const piece of index.vocabulary.get(s)) add(piece, .5);
      }
    }
    return hits;
  }

  // answers are the places that have all that is asked, best first; with them what does not occur at all. Words that make
  // a form are asked for together and one by one.
  function answers(query) {
    const typed = terms(query).map(t => t.stem);
    const whole = placesFor(asked(query, true), typed), single = placesFor(asked(query, false), typed);
    if (whole.wants.map(w => w.typed).join() === single.wants.map(w => w.typed).join()) return whole;
    const best = new Map(whole.places.map(p => [p.place, p]));
    for (const p of single.places) {
      if (!best.has(p.place)) best.set(p.place, { place: p.place, score: p.score * .6 });
    }
    return { wants: [...whole.wants, ...single.wants], nothing: whole.nothing.length && single.nothing.length ? single.nothing : [],
      places: [...best.values()].sort((a, b) => b.score - a.score) };
  }

  // named tells whether the words of a query are a title's, or three or more of them in their order.
  const named = (title, typed) => typed.length > 1 && title.join(' ') === typed.join(' ')
    || typed.length > 2 && ` ${title.join(' ')} `.includes(` ${typed.join(' ')} `);

  function placesFor(wants, typed) {
    const nothing = [];
    const places = new Map(); // place → how it has each want
    wants.forEach((want, w) => {
      const hits = want.hits = piecesWith(want);
      if (!hits.size) nothing.push(want);
      const worths = new Map();
      for (const [piece, worth] of hits) {
        for (const [place, as] of index.inPlaces[piece]) {
          let have = worths.get(place);
          if (!have) worths.set(place, have = { best: 0, own: 0, headed: 0, texts: 0 });
          have.best = Math.max(have.best, weightOf[as] * worth);
          if (as === 'heading') have.headed = Math.max(have.headed, worth);
          if (as === 'heading' || as === 'heads' || as === 'text') have.own = Math.max(have.own, worth);
          if (as === 'text') have.texts++;
        }
      }
      want.rare = Math.log(1 + index.places.length / (1 + worths.size));
      for (const [place, have] of worths) {
        let all = places.get(place);
        if (!all) places.set(place, all = []);
        all[w] = have;
      }
    });
    if (nothing.length || !wants.length) return { wants, nothing, places: [] };
    const out = [], part = new Map();
    for (const [at, all] of places) {
      const place = index.places[at];
      const has = wants.filter((_, w) => all[w]).length;
      const titled = place.titles.some(title => wants.every(want => want.hits.has(title)));
      const headed = wants.every((_, w) => all[w] && all[w].headed);
      let score = 0;
      wants.forEach((want, w) => { if (all[w]) score += want.rare * (all[w].best + Math.min(all[w].texts, 4) * .3) / wants.length; });
      if (headed) score += 14 * wants.length / Math.max(wants.length, terms(place.heading).filter(t => !idle.has(t.word)).length);
      if (titled) score += place.anchor ? 2 : 10;
      const weight = place.sheet.w || 1; // a question weighs more by its title and answer, not by all that its sheet says besides
      score *= (place.sheet.q && place.anchor && !titled ? 1 : weight) * (place.sheet.r ? .75 : 1);
      if (place.anchor === '' && place.titles.some(title => named(index.pieces[title], typed))) score += 2000;
      if (has === wants.length) {
        if (place.anchor && !wants.some((_, w) => all[w].own)) continue; // the title alone is the opening's
        if (place.anchor && place.heading && !place.texts.length && !headed) continue;
        out.push({ place, score: score + (titled && place.sheet.q ? 1000 * (place.anchor ? .9 : 1) : 0) });
      } else { // the sheet may have in other places what this one lacks
        const p = part.get(place.sheet) || { best: null, have: new Set(), score: 0 };
        wants.forEach((_, w) => { if (all[w]) p.have.add(w); });
        if (score > p.score) p.score = score, p.best = place;
        part.set(place.sheet, p);
      }
    }
    const whole = new Set(out.map(o => o.place.sheet));
    for (const [sheet, p] of part) {
      if (!whole.has(sheet) && p.have.size === wants.length) out.push({ place: p.best, score: p.score * .4 });
    }
    return { wants, nothing, places: out.sort((a, b) => b.score - a.score) };
  }

  // grouped puts the places under their sheets, and the sheets of a family under the one that answers best; of two that
  // answer alike the newer.
  function grouped(list) {
    const sheets = new Map();
    for (const hit of list) {
      const s = sheets.get(hit.place.sheet);
      if (s) s.hits.push(hit); else sheets.set(hit.place.sheet, { sheet: hit.place.sheet, score: hit.score, hits: [hit] });
    }
    const groups = new Map();
    for (const s of sheets.values()) {
      const key = s.sheet.f || s.sheet.p;
      const g = groups.get(key);
      if (g) g.push(s); else groups.set(key, [s]);
    }
    const out = [];
    for (const g of groups.values()) {
      const best = Math.max(...g.map(s => s.score));
      g.sort((a, b) => (b.score >= .7 * best) - (a.score >= .7 * best) || (b.sheet.n || 0) - (a.sheet.n || 0));
      out.push({ score: best, first: g[0], others: g.slice(1) });
    }
    return out.sort((a, b) => b.score - a.score);
  }

  // near is the commonest word of the site that is one slip away: a letter more, less, wrong, or two the wrong way round.
  function near(word) {
    let best = null;
    for (const [other, { times }] of index.surfaces) {
      if (Math.abs(other.length - word.length) < 2 && word.length > 3 && other.length > 2 && !/\d/.test(other) && slip(word, other) && (!best || times > best.times)) best = { other, times };
    }
    return best && best.other;
  }

  function slip(a, b) {
    let i = 0, j = a.length, k = b.length;
    while (i < a.length && i < b.length && a[i] === b[i]) i++;
    while (j > i && k > i && a[j - 1] === b[k - 1]) j--, k--;
    const x = a.slice(i, j), y = b.slice(i, k);
    return x.length + y.length > 0 && (x.length < 2 && y.length < 2 || x.length === 2 && y.length === 2 && x[0] === y[1] && x[1] === y[0]);
  }

  // ---- what is shown ----

  function element(name, className, ...inside) {
    const e = document.createElement(name);
    if (className) e.className = className;
    e.append(...inside);
    return e;
  }

  const several = (n, word) => n === 1 ? `1 ${word}` : `${n} ${word}s`;
  const address = place => form.dataset.root + place.sheet.p + 'index.html' + (place.anchor ? '#' + place.anchor : '');
  const askFor = query => '?q=' + encodeURIComponent(query);

  // spans of a text that answer the query.
  function spans(text, wants) {
    const list = terms(text), stems = list.map(t => t.stem), out = [];
    const add = (start, end) => {
      const last = out[out.length - 1];
      if (last && start < last[1]) last[1] = Math.max(last[1], end); else out.push([start, end]);
    };
    list.forEach((t, i) => {
      let end = 0;
      for (const want of wants) {
        for (const mark of want.marks) {
          if (mark.way.length === 1 && t.join && t.join.word === mark.way[0]) end = Math.max(end, t.join.end);
          else if (mark.within === Infinity) end = mark.way.includes(t.stem) ? Math.max(end, t.end) : end;
          else {
            const last = follows(stems, i, mark);
            if (last >= 0) end = Math.max(end, list[last].end);
          }
        }
      }
      if (end) add(t.start, end);
    });
    return out;
  }

  function marked(e, text, wants) {
    let at = 0;
    for (const [start, end] of spans(text, wants)) {
      e.append(text.slice(at, start), element('mark', '', text.slice(start, end)));
      at = end;
    }
    e.append(text.slice(at));
    return e;
  }

  const longest = 260;

  // sentence is the part of a place's text that answers most.
  function sentence(place, wants) {
    let best = '', most = -1;
    if (!place.anchor && place.sheet.q && place.titles.some(title => wants.some(w => w.hits.has(title)))) return place.texts[0] || ''; // the answer
    for (const text of place.texts) {
      for (const s of text.split(/(?<=[.!?])\s+(?=[\p{Lu}\p{N}])/u)) {
        const marks = spans(s, wants);
        const worth = wants.filter(w => spans(s, [w]).length).length + (marks.length ? Math.min(s.length, 80) / 200 : /\.$/.test(s) ? .1 : 0);
        if (worth > most) best = s, most = worth;
      }
    }
    if (best.length <= longest) return best;
    const first = spans(best, wants)[0];
    let from = Math.max(0, (first ? first[0] : 0) - longest / 3);
    if (from > 0) from = best.indexOf(' ', from) + 1;
    let to = Math.min(best.length, from + longest);
    if (to < best.length) to = best.lastIndexOf(' ', to);
    return (from > 0 ? '… ' : '') + best.slice(from, to) + (to < best.length ? ' …' : '');
  }

  function placeLine(hit, wants) {
    const { place } = hit, line = element('li', '');
    if (place.anchor) {
      const a = marked(element('a', ''), place.heading || place.under || 'Here', wants);
      a.href = address(place);
      line.append(place.under && place.heading ? element('span', 'soft', place.under + ': ') : '', a);
    }
    const text = sentence(place, wants);
    if (text && text !== place.heading) line.append(marked(element('p', ''), text, wants));
    return line;
  }

  const shownPlaces = 3, shownOthers = 4, shownSheets = 10;

  function sheetItem(group, wants) {
    const { sheet, hits } = group.first, item = element('li', '');
    const a = marked(element('a', ''), sheet.t, wants);
    a.href = address(hits[0].place.anchor && hits.every(h => h.place.anchor) ? { sheet } : hits.find(h => !h.place.anchor).place);
    item.append(element('p', 'soft small', sheet.o ? `${sheet.k}: ${sheet.o}` : sheet.k), element('h3', '', a));
    const lines = element('ul', '');
    for (const hit of hits.slice(0, shownPlaces)) {
      const line = placeLine(hit, wants);
      if (line.childNodes.length) lines.append(line);
    }
    item.append(lines);
    if (hits.length > shownPlaces) {
      const more = element('details', '', element('summary', '', `${several(hits.length - shownPlaces, 'more place')} on this sheet`));
      const rest = element('ul', '');
      for (const hit of hits.slice(shownPlaces)) rest.append(placeLine(hit, wants));
      more.append(rest);
      item.append(more);
    }
    if (group.others.length) {
      const links = others => others.flatMap((o, i) => {
        const link = element('a', '', o.sheet.s || o.sheet.t);
        link.href = address(o.hits[0].place);
        return i ? ['; ', link] : [link];
      });
      item.append(element('p', 'small', 'Also ', ...links(group.others.slice(0, shownOthers))));
      if (group.others.length > shownOthers) {
        item.append(element('details', 'small', element('summary', '', `and ${group.others.length - shownOthers} more`), element('p', '', ...links(group.others.slice(shownOthers)))));
      }
    }
    return item;
  }

  // instead is what to do where nothing answers: a word that is meant, or the query without one.
  function instead(query, wants, nothing) {
    const out = element('ul', 'instead');
    const replaced = (want, by) => query.replace(want.said, by).replace(/\s+/g, ' ').trim();
    for (const want of nothing) {
      const other = near(want.last);
      const line = element('li', '', 'Nothing for ', element('b', '', want.said));
      if (other) {
        const a = element('a', '', other);
        a.href = askFor(replaced(want, want.said.toLowerCase().endsWith(want.last) ? want.said.slice(0, want.said.length - want.last.length) + other : other));
        line.append('; there is ', a);
      }
      line.append('.');
      out.append(line);
    }
    if (wants.length > 1) {
      for (const want of nothing.length ? nothing : wants) {
        const rest = replaced(want, '');
        const n = rest ? grouped(answers(rest).places).length : 0;
        if (!n) continue;
        const a = element('a', '', rest);
        a.href = askFor(rest);
        out.append(element('li', '', 'Without ', element('b', '', want.said), ': ', a, `, ${several(n, 'sheet')}.`));
      }
    }
    return out;
  }

  function show(query) {
    found.replaceChildren();
    found.hidden = !query.trim();
    document.title = document.title.replace(/^“.*?” · /, '');
    if (found.hidden) {
      count.replaceChildren(...hint.map(n => n.cloneNode(true)));
      return;
    }
    const { wants, nothing, places } = answers(query);
    const groups = grouped(places);
    const sheets = new Set(places.map(p => p.place.sheet)).size;
    document.title = `“${query.trim()}” · ${document.title}`;
    if (!groups.length) {
      count.textContent = nothing.length ? `Nothing for ${nothing.map(w => `“${w.said}”`).join(', ')}.` : 'No sheet has all of these words.';
      found.append(instead(query, wants, nothing));
      return;
    }
    count.textContent = `${several(places.length, 'place')} on ${several(sheets, 'sheet')}.`;
    const list = element('ol', '');
    for (const g of groups.slice(0, shownSheets)) list.append(sheetItem(g, wants));
    found.append(element('h2', 'unseen', 'Found'), list);
    if (groups.length > shownSheets) {
      const more = element('details', '', element('summary', '', `${several(groups.length - shownSheets, 'more sheet')}`));
      more.addEventListener('toggle', () => {
        if (more.childNodes.length > 1) return;
        const rest = element('ol', '');
        for (const g of groups.slice(shownSheets)) rest.append(sheetItem(g, wants));
        more.append(rest);
      });
      found.append(more);
    }
  }

  // ---- the page ----

  let loading = null;

  function load() {
    return loading ||= new Promise((done, failed) => {
      const script = document.createElement('script');
      script.src = form.dataset.index;
      script.onload = () => { index = made(self.voltwrightIndex); delete self.voltwrightIndex; done(); };
      script.onerror = () => failed(new Error('no index'));
      document.head.append(script);
    });
  }

  async function seek() {
    const query = field.value;
    if (!query.trim() && !index) return;
    try {
      await load();
    } catch {
      count.textContent = 'The index of the sheets did not load. The register below leads to the same places.';
      return;
    }
    if (query === field.value) show(query);
  }

  let waiting = 0;
  field.addEventListener('focus', () => { load().catch(() => {}); }, { once: true });
  field.addEventListener('input', () => {
    clearTimeout(waiting);
    waiting = setTimeout(async () => {
      await seek();
      try {
        const query = field.value.trim();
        history.replaceState(null, '', query ? askFor(query) : location.pathname);
      } catch { /* from disk a browser may keep the address as it is; the form's button changes it */ }
    }, 150);
  });
  addEventListener('pageshow', () => {
    field.value = new URLSearchParams(location.search).get('q') || '';
    seek();
  });
  form.hidden = false;

  // For whoever tries the words and the order without the page.
  self.voltwrightSearch = Object.freeze({ terms, stem: word => stem(fold(word)), ask: async query => {
    await load();
    return grouped(answers(query).places).map(g => ({ path: g.first.sheet.p, anchor: g.first.hits[0].place.anchor, score: g.score }));
  } });
})();
