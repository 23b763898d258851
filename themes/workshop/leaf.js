// Opens the leaf that a link leads into, where the browser does not do it by itself, and all of them for paper where the
// style sheet cannot. Without this script a leaf opens by a press or a key.
(() => {
  'use strict';
  const folded = 'details.leaf, .callout.brief > details';
  const show = () => {
    const id = decodeURIComponent(location.hash.slice(1));
    const target = id && document.getElementById(id);
    if (!target) return;
    let opened = false;
    for (let leaf = target.closest('details'); leaf; leaf = leaf.parentElement && leaf.parentElement.closest('details')) {
      if (!leaf.open) leaf.open = opened = true;
    }
    if (opened) target.scrollIntoView();
  };
  addEventListener('hashchange', show);
  show();
  if (!CSS.supports('selector(::details-content)')) {
    let closed = [];
    addEventListener('beforeprint', () => {
      closed = [...document.querySelectorAll(folded)].filter(leaf => !leaf.open);
      for (const leaf of closed) leaf.open = true;
    });
    addEventListener('afterprint', () => { for (const leaf of closed) leaf.open = false; closed = []; });
  }
})();
