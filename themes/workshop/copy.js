// Copy: beside a line that is meant to be quoted stands a button that copies it as plain text. Without this script, or
// where the browser does not let a page copy, the line can still be marked whole by one press.
(() => {
  'use strict';

  function select(line) {
    const range = document.createRange();
    range.selectNodeContents(line);
    const selection = getSelection();
    selection.removeAllRanges();
    selection.addRange(range);
  }

  for (const line of document.querySelectorAll('.quotable')) {
    const row = document.createElement('p');
    const button = document.createElement('button');
    const said = document.createElement('span');
    row.className = 'noprint';
    button.type = 'button';
    button.className = 'copy';
    button.textContent = 'Copy as plain text';
    said.className = 'small soft';
    said.setAttribute('role', 'status');
    button.addEventListener('click', async () => {
      select(line);
      try {
        await navigator.clipboard.writeText(line.textContent);
        said.textContent = ' Copied.';
      } catch {
        said.textContent = ' Marked: copy it with the keys or the menu of your browser.';
      }
    });
    row.append(button, said);
    line.after(row);
  }
})();
