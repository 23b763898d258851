// The leads as a deck of cards: one on the screen, back, and done, which goes to the next. What is done is kept on the device alone.
(() => {
  'use strict';

  const deck = document.querySelector('.deck');
  if (!deck) return;
  const cards = [...deck.querySelectorAll('.lead')];
  const name = 'voltwright-card ' + deck.dataset.card;
  let done = new Set();
  try {
    done = new Set(JSON.parse(localStorage.getItem(name) || '[]'));
  } catch { /* a device that keeps nothing begins anew each time */ }

  function key(words, press) {
    const button = document.createElement('button');
    button.type = 'button';
    button.textContent = words;
    button.addEventListener('click', press);
    return button;
  }

  function show(at, focus) {
    cards.forEach((card, i) => { card.hidden = i !== at; });
    deck.querySelector('[data-is="done"]').textContent = done.size;
    if (focus) {
      cards[at].tabIndex = -1;
      cards[at].focus({ preventScroll: true });
      deck.querySelector('.count').scrollIntoView();
    }
  }

  function keep() {
    try {
      localStorage.setItem(name, JSON.stringify([...done]));
    } catch { /* see above */ }
  }

  const numberOf = (card) => card.querySelector('h3').textContent;

  cards.forEach((card, i) => {
    const keys = document.createElement('nav');
    keys.className = 'keys';
    const before = Math.max(i - 1, 0);
    const next = Math.min(i + 1, cards.length - 1);
    const on = key(i < next ? 'done, next ' + numberOf(cards[next]) : 'done', () => { done.add(card.id); keep(); show(next, true); });
    on.className = 'on';
    keys.append(key(i > 0 ? 'back' : 'begin anew', () => {
      if (i === 0) { done.clear(); keep(); }
      show(before, true);
    }), on);
    card.append(keys);
  });

  deck.querySelector('[data-is="all"]').textContent = cards.length;
  deck.querySelector('.count').hidden = false;

  // A link to a lead shows it; else the first that is not done.
  function begin() {
    const asked = cards.findIndex((card) => '#' + card.id === location.hash);
    const open = cards.findIndex((card) => !done.has(card.id));
    show(asked >= 0 ? asked : Math.max(open, 0), false);
  }
  addEventListener('hashchange', begin);
  begin();
})();
