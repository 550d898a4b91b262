// The bench without this script works by plain form posts. With it the same posts go without leaving the page, every
// window follows the job, a single key acts in an empty field, and what a cable types finds its way to the field.
'use strict';

const page = () => document.getElementById('page');
const field = () => document.getElementById('line');

// Where the present page is asked for again, with what it shows beside the job.
function address() {
  const show = document.querySelector('#answer input[name=show]');
  return location.pathname + (show ? '?show=' + show.value : '');
}

function focusField() {
  const line = field();
  if (!line) return;
  line.focus({ preventScroll: true });
  // What was refused or taken back is there to be put right, and gives way to what is typed next.
  const from = edited ? line.value.length : 0;
  line.setSelectionRange(from, line.value.length);
}

// What was sent stays in the field until it is taken: it is nobody's to send again, and the next key takes its place.
let sent = false;
// Whether the field holds what was typed since it was put there: nothing else is carried to the next question.
let edited = false;
const typed = () => (field() && !sent ? field().value + held : '');
document.addEventListener('input', (event) => { if (event.target === field()) edited = true; });

// Cables and scanners type faster than any hand. What they type is held back and shown when it is through: the browser draws
// a frame for each change in the field, and the verdict would have to wait for the frame after that. So is a key that may act
// in an empty field: it acts when nothing follows as fast as a scanner types, for a code may begin with any letter.
const FASTEST_HAND = 30; // ms from key to key; a scanner on a slow bus takes 16 to 20
let held = '';
let holding = 0;
let lastKey = 0;
const isKey = (sign) => sign.length === 1 && (field().dataset.keys.includes(sign.toLowerCase()) || linkOf(sign) !== null);
// Whether what is held is one key alone.
const alone = () => !edited && isKey(held);
function hold(event) {
  const line = field();
  const quick = !event.repeat && event.timeStamp - lastKey < FASTEST_HAND;
  lastKey = event.timeStamp;
  if (!quick) settle();
  if (event.key.length !== 1) return false;
  const first = typed() === '';
  if (first ? !isKey(event.key) : !quick || line.selectionStart !== line.value.length) return false;
  event.preventDefault();
  held += event.key;
  edited = !first;
  clearTimeout(holding);
  holding = setTimeout(settle, FASTEST_HAND);
  return true;
}

// Nothing more comes: a key alone acts, all else is shown.
function settle() {
  if (!held || !field()) return;
  if (!alone()) { showHeld(); return; }
  const key = held.toLowerCase();
  fill('');
  if (field().dataset.keys.includes(key)) inTurn(() => send(key));
  else followKey(key);
}

function showHeld() {
  if (held && field()) fill(field().value + held);
}

// The field with this in it and nothing held back.
function fill(text) {
  clearTimeout(holding);
  held = '';
  field().value = text;
}

// Puts one page in the place of another. The field that is being typed in stays the same field where the browser can move
// it: the keyboard of a tablet stays up, and nothing is put out of focus and back.
function swap(old, fresh) {
  const [kept, slot] = [field(), fresh.querySelector('#line')];
  if (!slot || !kept || kept !== document.activeElement || !kept.parentNode.moveBefore) {
    old.replaceWith(fresh);
    return;
  }
  old.after(fresh);
  slot.parentNode.moveBefore(kept, slot);
  for (const name of kept.getAttributeNames()) if (!slot.hasAttribute(name)) kept.removeAttribute(name);
  for (const { name, value } of slot.attributes) kept.setAttribute(name, value);
  kept.value = slot.value;
  slot.remove();
  old.remove();
  read(fresh);
}

// An identity, a designation or a day is not broken at its hyphens; one that is longer than a line of a telephone may be.
const HYPHENED = /(?=\S*\d)[\p{L}\d.]+(?:-[\p{L}\d.]+)+/gu;
const LONGEST_WORD = 28;
const NOT_IN = ['.id', '.when', '.hash', 'pre', 'textarea', 'option', 'svg', 'title', 'script'].join();
function unbroken(root) {
  const texts = document.createTreeWalker(root, NodeFilter.SHOW_TEXT);
  const found = [];
  while (texts.nextNode()) {
    const text = texts.currentNode;
    if (!text.data.includes('-') || text.parentElement?.closest(NOT_IN)) continue;
    for (const word of [...text.data.matchAll(HYPHENED)].reverse()) if (word[0].length <= LONGEST_WORD) found.push([text, word]);
  }
  for (const [text, word] of found) {
    const whole = document.createElement('span');
    whole.className = 'id';
    const from = text.splitText(word.index);
    from.splitText(word[0].length);
    from.replaceWith(whole);
    whole.append(from);
  }
}

// Has a screen reader read what a page asks, and the verdict: it reads a field only when the focus comes to it.
function read(fresh) {
  const now = [...fresh.querySelectorAll('.verdict-page .word, #question')].map((part) => part.textContent.trim()).join('. ');
  if (aloud.textContent !== now) aloud.textContent = now;
}
const aloud = document.createElement('p');
aloud.id = 'aloud';
aloud.className = 'unseen';
aloud.setAttribute('role', 'status');

// Names the window after its page, once the page is drawn: the browser draws a frame of its own for the name, and on a
// machine of two cores it would take its time from the verdict.
let named = 0;
function nameWindow() {
  clearTimeout(named);
  named = setTimeout(() => { document.title = page().dataset.title; }, 100);
}

// Puts a page in the place of the one shown, what was typed meanwhile kept; false where the answer is no page of the bench.
function put(text) {
  const parsed = document.createRange().createContextualFragment(text);
  const fresh = parsed.getElementById('page');
  if (fresh?.dataset.goto) {
    location.assign(fresh.dataset.goto);
    return true;
  }
  if (!fresh) {
    const parts = [...parsed.querySelectorAll('main :is(h1, h2, p, li)')].map((part) => part.textContent.trim());
    const told = parts.filter(Boolean).map((part) => /[.:?!]$/.test(part) ? part : part + '.').join(' ');
    if (told) say(told); else lost();
    return false;
  }
  const asked = (root) => root.querySelector('#question')?.textContent;
  const wentOn = asked(document) !== asked(fresh);
  const late = edited ? typed() : '';
  if (sent || edited) held = '';
  sent = false;
  edited = late !== '';
  unbroken(fresh);
  swap(page(), fresh);
  nameWindow();
  if (late && field()) fill(late);
  focusField();
  // What is asked next is read from its top.
  if (wentOn) scrollTo(0, 0);
  return true;
}

// Says something on top of the page; nothing takes it away. `lost` where it is that the bench does not answer.
function say(text, lost = '') {
  let banner = document.getElementById('lost');
  if (!text) return banner && banner.remove();
  if (!banner) {
    banner = document.createElement('div');
    banner.id = 'lost';
    banner.className = 'lost';
    banner.setAttribute('role', 'alert');
    banner.append(document.createElement('p'));
    page().prepend(banner);
  }
  banner.dataset.lost = lost;
  banner.firstChild.textContent = text;
}

// What could not be handed in, in the order it was typed: it is told, for the field holds the first of it alone.
let unsent = [];
// The page brings the words for it.
const lost = () => say(page().dataset.lost + (unsent.length > 1 ? ' (' + unsent.join(', ') + ')' : ''), 'yes');

// One thing at a time goes to the bench, in the order it was typed: a cable may send two readings in one breath.
let queue = Promise.resolve();
let waiting = 0;
const inTurn = (work) => {
  waiting += 1;
  queue = queue.then(work).catch(lost).finally(() => { waiting -= 1; catchUp(); });
};

// Asks for the page again when the bench went on, or was started anew, since this one was made.
let seen = '';
function catchUp() {
  if (waiting > 0 || !seen) return;
  const [process, version] = seen.split('-');
  const [ownProcess, ownVersion] = page().dataset.stamp.split('-');
  if (process !== ownProcess || Number(version) > Number(ownVersion)) inTurn(refresh);
}

// A channel for answers stays open: it is quicker than a request. Where there is none, a request it is.
let channel = null;
let answered = null;
function openChannel() {
  const opened = new WebSocket('ws://' + location.host + '/answers');
  channel = opened;
  opened.onmessage = (event) => { if (channel === opened) { answered?.resolve(event.data); answered = null; } };
  opened.onclose = () => { if (channel === opened) { channel = null; answered?.reject(); answered = null; } };
}

// A program that takes longer than any answer does not answer: whoever types is told, and what was typed stays. What it does
// with the line later is shown when it is back; the same line sent again is then refused, for the job went on.
const LONGEST = 10000; // ms
function ask(body) {
  if (channel?.readyState !== WebSocket.OPEN) {
    const signal = AbortSignal.timeout(LONGEST);
    return fetch('/answer', { method: 'POST', body, headers: { 'X-Fragment': '1' }, signal }).then((answer) => answer.text());
  }
  return new Promise((resolve, reject) => {
    const asked = channel;
    // An answer that comes later must not be taken for that to the next line.
    const late = setTimeout(() => { channel = null; answered = null; asked.close(); reject(); }, LONGEST);
    const ends = (then) => (value) => { clearTimeout(late); then(value); };
    answered = { resolve: ends(resolve), reject: ends(reject) };
    asked.send(body.toString());
  });
}

async function send(line) {
  const body = new URLSearchParams(new FormData(document.getElementById('answer')));
  body.set('line', line);
  let taken = false;
  try {
    taken = put(await ask(body));
    if (taken) unsent = [];
  } catch {
    if (line && unsent.at(-1) !== line) unsent.push(line);
    lost();
  }
  // What could not be handed in stays in sight, and Enter sends it again.
  if (!taken && field() && typed() === '') { fill(line); edited = true; }
  sent = false;
}

// Shows the job as it is now. What is half typed stays, with the state it was typed for: the bench refuses it if the job
// went on in between, and says so.
async function refresh(from = address()) {
  const after = document.querySelector('#answer input[name=after]');
  const answer = await fetch(from, { headers: { 'X-Fragment': '1' } });
  put(await answer.text());
  const now = document.querySelector('#answer input[name=after]');
  if (edited && after && now) now.value = after.value;
}

// Puts away what was looked up or shown beside the job; what is in the field stays.
function close() {
  edited = typed() !== '';
  inTurn(() => refresh(location.pathname));
}

document.addEventListener('submit', (event) => {
  const form = event.target;
  if (form.method !== 'post' || !page() || new URL(form.action).pathname !== '/answer') return;
  event.preventDefault();
  const button = event.submitter;
  if (button && button.name === 'line') handIn(button.value);
  else if (button && button.name === 'sign') sign();
  else handInField();
});

function handIn(line) {
  edited = false;
  inTurn(() => send(line));
}

function handInField() {
  const line = typed();
  clearTimeout(holding);
  // The field is not cleared: that would draw the page once more before the answer, and hold up the frame that shows it.
  sent = true;
  handIn(line);
}

// A signature is a key of its own, which no cable sends; a name in the field is that of who signs.
function sign() {
  showHeld();
  handIn(('/sign ' + typed()).trim());
}

document.addEventListener('keydown', (event) => {
  const line = field();
  if (line && event.ctrlKey && event.key === 'Enter' && !event.repeat && document.querySelector('#answer [name=sign]')) {
    event.preventDefault();
    sign();
    return;
  }
  if (!line || event.ctrlKey || event.altKey || event.metaKey || event.isComposing) return;
  if (sent && !event.repeat && (event.key.length === 1 || event.key === 'Enter')) { fill(''); sent = false; }
  if (event.key === 'Escape' && page().dataset.shown) {
    event.preventDefault();
    close();
    return;
  }
  if (event.target !== line) {
    if (event.key === 'Enter' && !event.repeat && event.target === document.body) document.getElementById('answer').requestSubmit();
    // Digits of a cable, wherever the focus is.
    if (/^[0-9.,+-]$/.test(event.key) && !/^(INPUT|TEXTAREA|SELECT)$/.test(event.target.tagName)) focusField();
    return;
  }
  if (event.key === 'Shift') return;
  // The field stays as it is on Enter, for the same reason.
  if (hold(event)) return;
  if (event.key !== 'Enter') settle();
  if (event.key === 'Escape') { fill(''); return; }
  // Quicker than by way of the form. Enter held down is one Enter: what is offered at the next question is not taken by it.
  if (event.key === 'Enter') {
    event.preventDefault();
    if (!event.repeat) handInField();
    return;
  }
});

// A page without a field has keys that follow a link, and Escape leads back to the bench.
document.addEventListener('keydown', (event) => {
  if (field() || event.ctrlKey || event.altKey || event.metaKey || event.repeat) return;
  if (event.key === 'Escape') { location.assign('/'); return; }
  if (/^(INPUT|TEXTAREA|SELECT)$/.test(event.target.tagName)) return;
  if (linkOf(event.key)) event.preventDefault();
  followKey(event.key);
});

// Enter in a list takes what is chosen there; what a form records is recorded by its button, or by Enter in a line.
document.addEventListener('keypress', (event) => {
  if (event.key === 'Enter' && event.target.tagName === 'SELECT' && event.target.form?.method === 'post') event.preventDefault();
});

function linkOf(key) {
  return document.querySelector(`a[data-key="${CSS.escape(key.toLowerCase())}"]`);
}

function followKey(key) {
  linkOf(key)?.click();
}

unbroken(document.body);
if (page()) {
  document.body.append(aloud);
  focusField();
  let follow = null;
  const listen = () => {
    follow?.close();
    follow = new EventSource('/events');
    follow.onmessage = (event) => {
      seen = event.data;
      if (document.getElementById('lost')?.dataset.lost) say('');
      if (!channel) openChannel();
      catchUp();
    };
    follow.onerror = () => {
      if (follow.readyState !== EventSource.CLOSED) { lost(); return; }
      // A bench that was started anew does not know this browser yet; it says so itself, and is asked again.
      inTurn(refresh);
      setTimeout(() => { if (!document.hidden) listen(); }, 2000);
    };
  };
  // A browser keeps few connections to one host: a window that nobody sees gives its own back.
  document.addEventListener('visibilitychange', () => {
    if (document.hidden) follow.close(); else listen();
  });
  listen();
}
