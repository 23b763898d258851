// Search: asks the index of the site (search/index.js and the texts that follow it, scripts so that they load from disk too)
// for the words in the field: first what the index has, then, when they are there, all texts. Folding, stemming and ranking are here and nowhere else: the index is the text as it stands. The query is the
// form's own, ?q=, so that back, forward and links work without any of this.
(() => {
  'use strict';

  const form = document.getElementById('seek');
  if (!form) return;
  const field = form.elements.q;
  const count = document.getElementById('found-count');
  const found = document.getElementById('found');
  const hint = [...count.childNodes].map(n => n.cloneNode(true));
  const language = document.documentElement.lang.toLowerCase(), english = language.startsWith('en'), german = language.startsWith('de');

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
    if (german && word.length > 3 && !/\d/.test(word)) return germanStem(word);
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

  // germanStem takes the endings off a folded German word, longest first, as long as three letters stay.
  function germanStem(word) {
    for (const end of [/^(.{3,}?)(?:ungen|ung)$/, /^(.{3,}?)(?:ens|ern|em|er|en|es|e|s|n)$/, /^(.{3,}?)(?:st|t)$/]) word = word.replace(end, '$1');
    return word;
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

  const idle = new Set((german ? 'ab aber als am an auch auf aus bei bin bis da das dass dem den der des die dies diese doch du ein eine einem einen einer er es fur geht gibt hat habe haben '
    + 'hier ich ihr ihre im in ist ja kann man mein meine mich mir mit muss nach nicht noch nun nur ob oder ohne schon sein seine sich sie sind so soll uber um und uns unser unsere vom von vor war was '
    + 'weil welche welcher welches wenn wer werden wie wieder wir wird wo zu zum zur'
    : 'a about actually again all also am an and any are as at away be become been before being big but by can come could did do does doing done early engine even ever for from get give go goes good gone got had happens has have he her '
    + 'here his how i if in into is it its itself just like loco locomotive long longer longest machine many may me might more much must my need no not now of off on one only or our out over please really shall she should since so some such take than that the their '
    + 'them then there these they thing this those to too until up use used using vehicle very want was we were what when where which while who whom why will with would you your').split(' '));
  const asking = new Set(['long', 'many', 'much']); // little in a query, and much in a form of the trade: "how long it runs"
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
    const there = n => n < data.texts.length; // the texts of the parts may be still to come
    const places = data.places.map(([sheet, anchor, heading, under, heads, allTexts], at) => {
      const texts = allTexts.filter(there);
      const s = data.sheets[sheet];
      const says = (text, as) => inPlaces[piece(text)].push([at, as]);
      const titles = [s.t, ...s.a || []].map(piece); // its title, and the other ways in which it is asked
      says(s.t, 'title');
      for (const a of s.a || []) says(a, 'also');
      if (s.o) says(s.o, 'of');
      says(s.k, 'of');
      says(data.texts[heading], s.q && /\?$/.test(data.texts[heading]) ? 'title' : 'heading');
      if (data.texts[under]) says(data.texts[under], 'under');
      for (const h of heads) says(data.texts[h], 'heads');
      for (const t of texts) says(data.texts[t], 'text');
      return { sheet: s, anchor, titles, question: s.q && /\?$/.test(data.texts[heading]), heading: data.texts[heading], under: data.texts[under], texts: [...texts, ...heads].map(t => data.texts[t]) };
    });
    const forms = [];
    for (const group of data.words) {
      const ways = group.map(form => {
        const list = terms(form), loaded = list.filter(t => !idle.has(t.word) || asking.has(t.word));
        const way = (loaded.length > 1 ? loaded : list).map(t => t.stem);
        return { way, within: way.length < list.length ? 6 : 1, whole: list.map(t => t.stem) };
      });
      for (const form of ways) forms.push({ ...form, ways });
    }
    forms.sort((a, b) => b.whole.length - a.whole.length);
    const about = new Map(); // how much is written of a vehicle, by the first part of a path: it comes first among equals
    for (const s of data.sheets) if (s.f) about.set(s.p.split('/')[0], (about.get(s.p.split('/')[0]) || 0) + 1);
    for (const s of data.sheets) s.about = 1 + .02 * (about.get(s.p.split('/')[0]) || 0) / data.sheets.length;
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

  // corrected takes, for a word that stands nowhere, the commonest one that is a slip away.
  function corrected(want) {
    if (want.last.length > 3 && !want.typed.includes(' ') && [...idle].some(word => word.length > 3 && slip(word, want.last))) {
      want.idle = true;
      return want.hits;
    }
    const other = want.typed.includes(' ') ? null : near(want.last);
    if (!other) return want.hits;
    const { stem: s } = index.surfaces.get(other);
    want.slip = other;
    want.ways = [{ way: [s], within: 1 }, ...index.forms.filter(f => f.whole.length === 1 && f.whole[0] === s).flatMap(f => f.ways)];
    want.typed = s;
    return piecesWith(want);
  }

  // placesFor ranks places by the words of a query that they have. A word weighs by how rare it is, and by where it stands:
  // in a title or a question, in a heading, in the text. What a place lacks it may have elsewhere on its sheet, for less;
  // what nobody has is left out of the reckoning. A sheet needs half of the weight of all words to be found.
  function placesFor(wants, typed) {
    const nothing = [], places = new Map(); // place → how it has each want
    wants.forEach((want, w) => {
      want.hits = piecesWith(want);
      if (!want.hits.size) want.hits = corrected(want);
      if (!want.hits.size && !want.idle) nothing.push(want);
      const worths = new Map();
      for (const [piece, worth] of want.hits) {
        for (const [place, as] of index.inPlaces[piece]) {
          let have = worths.get(place);
          if (!have) worths.set(place, have = { best: 0, own: 0, headed: 0, texts: 0 });
          have.best = Math.max(have.best, weightOf[as] * worth);
          if (as === 'heading') have.headed = Math.max(have.headed, worth);
          if (as !== 'title' && as !== 'also' && as !== 'of') have.own = Math.max(have.own, worth);
          if (as === 'title' && index.places[place].question) have.headed = have.own = Math.max(have.own, worth);
          if (as === 'text') have.texts++;
        }
      }
      want.rare = worths.size ? Math.log(1 + index.places.length / (1 + worths.size)) : 0;
      for (const [place, have] of worths) {
        let all = places.get(place);
        if (!all) places.set(place, all = []);
        all[w] = have;
      }
    });
    const known = wants.filter(w => w.hits.size), whole = known.reduce((sum, w) => sum + w.rare, 0);
    if (!known.length) return { wants, nothing, places: [] };
    const share = has => known.reduce((sum, w) => sum + (has(w) ? w.rare : 0), 0) / whole;
    const bySheet = new Map();
    for (const [at, all] of places) {
      const { sheet } = index.places[at];
      let have = bySheet.get(sheet);
      if (!have) bySheet.set(sheet, have = new Set());
      wants.forEach((w, i) => { if (all[i]) have.add(w); });
    }
    const out = [];
    for (const [at, all] of places) {
      const place = index.places[at], { sheet } = place, have = w => all[wants.indexOf(w)];
      const own = share(have), sheets = share(w => bySheet.get(sheet).has(w));
      const titled = Math.max(...place.titles.map(title => share(w => w.hits.has(title))));
      const headed = share(w => have(w) && have(w).headed);
      if (Math.max(own, sheets * .8) < .5) continue;
      if (place.anchor && !known.some(w => have(w) && have(w).own)) continue; // the title alone is the opening's
      if (place.anchor && place.heading && !place.texts.length && headed < 1) continue;
      let score = 0;
      for (const w of known) if (have(w)) score += w.rare * (have(w).best + Math.min(have(w).texts, 4) * .3) / known.length;
      const loaded = Math.max(known.length, terms(place.heading).filter(t => !idle.has(t.word)).length);
      score += 14 * headed ** 2 * known.length / loaded;
      score += (place.anchor ? 2 : 10) * titled ** 2;
      if (place.anchor && known.every(w => ` ${place.anchor.split('-').map(stem).join(' ')} `.includes(` ${w.typed} `))) score += 1; // it is called so
      const weight = sheet.w || 1; // a question weighs more by its title and answer, not by all that its sheet says besides
      if (place.question && place.texts.length === 1 && /^Not (?:stated|measured) yet/.test(place.texts[0])) score *= .6; // it says only what is missing
      score *= (sheet.q && place.anchor && titled < 1 && !place.question ? 1 : weight) * (sheet.r ? .75 : 1) * Math.max(own, sheets * .7) ** 2;
      if (sheet.q && titled > .5) score += (titled === 1 ? 1000 : 12 * titled) * (place.anchor ? .9 : 1);
      if (place.question && headed > .5) score += (headed === 1 ? 900 : 12 * headed) * (/^Not (?:stated|measured) yet/.test(place.texts[0] || '') ? .6 : 1) * (sheet.r ? .75 : 1);
      score *= sheet.about;
      if (place.anchor === '' && place.titles.some(title => named(index.pieces[title], typed))) score += 2000;
      out.push({ place, score });
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

  // clipped is the beginning of a text, up to the end of a sentence where one is near.
  function clipped(text) {
    if (text.length <= longest) return text;
    const end = text.lastIndexOf('. ', longest);
    return end > longest / 3 ? text.slice(0, end + 1) : text.slice(0, text.lastIndexOf(' ', longest)) + ' …';
  }

  // sentence is the part of a place's text that answers most.
  function sentence(place, wants) {
    let best = '', most = -1;
    if (!place.anchor && place.sheet.q && place.titles.some(title => wants.some(w => w.hits.has(title)))) return place.texts[0] || ''; // the answer
    if (place.question && place.texts.length) return clipped(place.texts[0]);
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

  function placeLine(hit, wants, said) {
    const { place } = hit, line = element('li', '');
    if (place.anchor) {
      const a = marked(element('a', ''), place.heading || place.under || 'Here', wants);
      a.href = address(place);
      line.append(place.under && place.heading ? element('span', 'soft', place.under + ': ') : '', a);
    }
    const text = sentence(place, wants);
    if (text && text !== place.heading && text !== said) line.append(marked(element('p', ''), text, wants));
    return line;
  }

  const shownPlaces = 2, shownOthers = 4, shownSheets = 5;

  function sheetItem(group, wants, said) {
    const { sheet, hits } = group.first, item = element('li', '');
    const a = marked(element('a', ''), sheet.t, wants);
    a.href = address(hits[0].place.anchor && hits.every(h => h.place.anchor) ? { sheet } : hits.find(h => !h.place.anchor).place);
    item.append(element('p', 'soft small', sheet.o ? `${sheet.k}: ${sheet.o}` : sheet.k), element('h3', '', a));
    const lines = element('ul', '');
    for (const hit of hits.slice(0, shownPlaces)) {
      const line = placeLine(hit, wants, said);
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

  // slips says which words of a query stand nowhere, and which were taken for them.
  function slips(query, wants, nothing) {
    const out = element('ul', 'instead'), said = new Set();
    for (const want of [...wants.filter(w => w.slip), ...nothing]) {
      if (said.has(want.said)) continue;
      said.add(want.said);
      const line = element('li', '', 'Nothing for ', element('b', '', want.said));
      if (want.slip) line.append('; shown is ', element('b', '', want.slip));
      line.append('.');
      out.append(line);
    }
    return out;
  }

  // best is the answer of the sheet that answers best, as text: of a question its answer, else the sentence that has most
  // of what is asked.
  function best(group, wants) {
    const { sheet, hits } = group.first, hit = hits[0], { place } = hit;
    const words = sheet.q && (!place.anchor || place.question) ? place.texts[0] : sentence(place, wants);
    if (!words) return null;
    const a = element('a', '', place.question ? place.heading : place.anchor && place.heading ? `${sheet.t}: ${place.heading}` : sheet.t);
    a.href = address(place);
    return element('div', 'best', marked(element('p', ''), words, wants), element('p', 'soft small', a, sheet.o ? ` · ${sheet.o}` : ''));
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
    const not = slips(query, wants, nothing);
    if (!groups.length) {
      count.textContent = nothing.length ? `Nothing for ${nothing.map(w => `“${w.said}”`).join(', ')}.` : 'No sheet has enough of these words.';
      return;
    }
    count.textContent = `${several(places.length, 'place')} on ${several(sheets, 'sheet')}.`;
    if (not.childNodes.length) found.append(not);
    const answer = best(groups[0], wants);
    if (answer) found.append(answer);
    const list = element('ol', '');
    const said = answer && answer.firstChild.textContent; // is not said twice
    for (const g of groups.slice(0, shownSheets)) list.append(sheetItem(g, wants, said));
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

  let loading = null, whole = null;

  function script(name) {
    return new Promise((done, failed) => {
      const e = document.createElement('script');
      e.src = name;
      e.onload = done;
      e.onerror = () => failed(new Error('no ' + name));
      document.head.append(e);
    });
  }

  // load brings the index; all brings the texts after it, from which the index is made once more.
  function load() {
    return loading ||= script(form.dataset.index).then(() => {
      const data = self.voltwrightIndex;
      delete self.voltwrightIndex;
      index = made(data);
      whole = () => {
        const rest = Promise.all(Array.from({ length: data.parts || 0 }, (_, n) => script(`texts-${n}.js`))).then(() => {
          for (let n = 0; n < (data.parts || 0); n++) data.texts.push(...self.voltwrightTexts[n]);
          delete self.voltwrightTexts;
          if (data.parts) index = made(data);
        });
        whole = () => rest;
        return rest;
      };
    });
  }

  const all = () => load().then(() => whole());

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
    const before = index;
    try {
      await whole();
    } catch {
      count.append(' Only titles and answers were looked through: the rest did not load.');
      return;
    }
    if (index !== before && query === field.value) show(query);
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
    await all();
    return grouped(answers(query).places).map(g => ({ path: g.first.sheet.p, anchor: g.first.hits[0].place.anchor, score: g.score }));
  }, show: async query => {
    await all();
    show(query);
  } });
})();
