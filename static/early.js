// The page before the program is there: its first screen as plain markup, and the chosen example as a picture of its
// map. What is pressed meanwhile is remembered and carried out when the program takes over, in one picture, without a
// jump. It shows only where it is true: to somebody without maps of their own, and with no map in the address.
globalThis.sparktrailEarly = (() => {
  const root = document.documentElement;
  const language = root.lang;
  // No program waits longer than this for a picture.
  const LONGEST_MS = 1_000;

  // The example that was chosen, and whether the program was told.
  let chosen = null;
  let isTold = false;
  let isPainted = false;
  let painting = Promise.resolve();
  // What was pressed, by its place among the buttons of what shows. On the first screen the buttons at its head go by
  // themselves; of the ways in the last one counts.
  let atHead = [];
  let wayIn = [];
  let inJob = [];
  let file = null;

  const early = () => ('early' in root.dataset ? document.getElementById('early') : null);
  const shown = () => early()?.querySelector(chosen ? '.job' : '.start');
  const buttons = (view) => [...(view?.querySelectorAll('button') ?? [])];
  const wait = (ms) => new Promise((done) => setTimeout(done, ms));

  function isFirstVisit() {
    try {
      const own = /^sparktrail\/1\/(projects|map\/|theme)/;
      return !Object.keys(localStorage).some((key) => own.test(key)) && location.hash === '';
    } catch {
      return false;
    }
  }

  function link(rel, href, facts = {}) {
    document.head.append(Object.assign(document.createElement('link'), { rel, href, ...facts }));
  }

  const parsed = () =>
    new Promise((done) => {
      if (document.readyState === 'loading') document.addEventListener('DOMContentLoaded', done);
      else done();
    });

  const frame = () => new Promise(requestAnimationFrame);
  // Also where nothing is painted, in a window that nobody sees.
  const painted = () => Promise.race([wait(document.hidden ? 0 : LONGEST_MS), frame().then(() => wait(0))]);

  // What is here of the program shows, as it is.
  function leave() {
    document.getElementById('early')?.remove();
    delete root.dataset.early;
    const app = document.getElementById('app');
    if (app) app.inert = false;
  }

  async function begin() {
    try {
      const answer = language === 'en' ? null : await fetch(`early/${language}.html`);
      await parsed();
      if (answer) {
        if (!answer.ok) throw new Error(`early/${language}.html: ${answer.status}`);
        document.getElementById('early').innerHTML = await answer.text();
        if ('early' in root.dataset) root.dataset.early = 'here';
      }
      // Nobody comes to what stands behind, by eye, ear or keyboard.
      document.getElementById('app').inert = true;
      const field = early().querySelector('input[type=file]');
      // It may be chosen after the program took over: the field is then no longer on the page.
      field.onchange = () => {
        file = field.files;
        if (early()) say();
        else handFile();
      };
    } catch {
      leave();
    }
    await painted();
    // Whoever chose at the first sight of it is heard by now.
    await painted();
    await Promise.race([painting, wait(LONGEST_MS)]);
  }

  // Says that what was pressed waits for the program.
  function say() {
    const note = early().querySelector('.early-note');
    note.innerHTML = '<div class="toast"><p></p></div>';
    note.querySelector('p').textContent = note.dataset.words;
  }

  function remember(button) {
    const view = shown();
    const nth = buttons(view).indexOf(button);
    if (chosen) inJob.push(nth);
    else if (button.closest('.start-head')) atHead.push(nth);
    else wayIn = [nth];
    view.querySelector('[aria-busy]')?.removeAttribute('aria-busy');
    button.setAttribute('aria-busy', 'true');
    say();
  }

  function press(event) {
    const button = early() && event.target.closest?.('#early button');
    if (!button) return;
    event.preventDefault();
    if (button.dataset.example) choose(button);
    else if (button.dataset.language) speak(button.dataset.language);
    else if (button.matches('.home') && !isTold) goHome();
    else if (button.previousElementSibling?.type === 'file') button.previousElementSibling.click();
    else remember(button);
  }

  function speak(code) {
    try {
      localStorage.setItem('sparktrail/1/language', code);
    } catch {
      // A browser that keeps nothing stays with its own language.
    }
    location.reload();
  }

  function goHome() {
    shown().remove();
    chosen = null;
    isPainted = false;
    inJob = [];
    shown().hidden = false;
    early().querySelector('.early-note').textContent = '';
  }

  // The frame of a map stands before the first screen in the page: whoever chooses while that is still coming need not
  // wait for its end.
  async function choose(card) {
    const title = () => card.querySelector('strong');
    if (!title()) await parsed();
    if (chosen || !early()) return;
    shown().hidden = true;
    chosen = card.dataset.example;
    wayIn = [];
    send(card);
    const job = early().querySelector('template').content.firstElementChild.cloneNode(true);
    job.querySelector('h1').textContent = title().textContent;
    early().querySelector('.early-note').textContent = '';
    early().append(job);
    scrollTo(0, 0);
    const stage = job.querySelector('.map');
    painting = draw(stage);
    // The program wants it, and the picture goes first.
    const sample = `samples/${chosen}.json`;
    frame().then(() => link('preload', sample, { as: 'fetch', crossOrigin: '', fetchPriority: 'low' }));
    new ResizeObserver(() => draw(stage)).observe(stage);
  }

  // Where the page is kept on this device the program is as near as a picture.
  const isKept = () => Boolean(navigator.serviceWorker?.controller);
  const shapeAt = (width) => (width < 640 ? 'tall' : 'wide');
  // Asked for without a layout of the page.
  const likelyShape = () => (matchMedia('(max-width: 639.98px)').matches ? 'tall' : 'wide');

  // The picture of an example in one shape, sent for once.
  const pictures = new Map();
  function picture(example, shape) {
    const file = `early/${language}/${example}-${shape}.svg`;
    const read = (answer) => (answer.ok ? answer.text() : '');
    if (!pictures.has(file)) pictures.set(file, fetch(file).then(read).catch(() => ''));
    return pictures.get(file);
  }

  // Sends for the picture of an example in the shape that its stage will most likely have.
  function send(card) {
    if (early() && card && !isKept()) picture(card.dataset.example, likelyShape());
  }

  async function draw(stage) {
    let size = stage.getBoundingClientRect();
    if (isKept() || !stage.isConnected || size.width < 2) return;
    const shape = shapeAt(size.width);
    if (stage.dataset.shape !== shape) {
      stage.dataset.shape = shape;
      const markup = await picture(chosen, shape);
      if (!stage.isConnected || stage.dataset.shape !== shape) return;
      // Measured before the picture is in the page, which would be laid out twice otherwise.
      size = stage.getBoundingClientRect();
      stage.querySelector('.map-canvas')?.remove();
      stage.insertAdjacentHTML('afterbegin', markup);
    }
    if (!fit(stage, size) || isPainted) return;
    await painted();
    if (stage.isConnected && !isPainted) {
      isPainted = true;
      performance.mark('first-map');
    }
  }

  // As `Camera::fit` and `Zoom::at_scale` of the program do it.
  function fit(stage, { width, height }) {
    const map = stage.querySelector('[data-bounds]');
    if (!map) return false;
    const [x, y, w, h] = map.dataset.bounds.split(' ').map(Number);
    const margin = Math.min(20, Math.max(4, Math.min(width, height) * 0.02));
    const foot = height > 4 * 52 ? 52 : 0;
    const across = Math.max(1, width - 2 * margin) / Math.max(1, w);
    const down = Math.max(1, height - foot - 2 * margin) / Math.max(1, h);
    const scale = Math.min(1.35, Math.max(0.12, Math.min(across, down)));
    const left = width / 2 - (x + w / 2) * scale;
    const top = (height - foot) / 2 - (y + h / 2) * scale;
    map.setAttribute('transform', `translate(${left.toFixed(2)} ${top.toFixed(2)}) scale(${scale.toFixed(4)})`);
    stage.dataset.zoom = scale < 0.72 ? 'far' : 'near';
    return true;
  }

  // The program's own picture stands behind this one: it takes its place, the keyboard, and what was typed and pressed.
  function takeOver() {
    const [before, now] = [shown(), document.querySelector(chosen ? '#app .job' : '#app .start')];
    const same = (what) => {
      const all = now?.querySelectorAll(what) ?? [];
      return [...before.querySelectorAll(what)].map((old, nth) => [old, all[nth]]);
    };
    const focused = same('button, input').find(([old]) => old === document.activeElement)?.[1];
    for (const [typed, field] of same('input[type=text]')) {
      if (field && typed.value) field.value = typed.value;
    }
    leave();
    focused?.focus({ preventScroll: true });
    if (file) handFile();
    else pressAgain(now, chosen ? inJob : [...atHead, ...wayIn]);
  }

  function handFile() {
    const field = document.querySelector('#app .start input[type=file]');
    if (!field) return;
    field.files = file;
    field.dispatchEvent(new Event('change', { bubbles: true }));
  }

  function pressAgain(view, pressed) {
    const all = buttons(view);
    for (const nth of pressed) {
      if (all[nth]?.isConnected) all[nth].click();
    }
  }

  // For the way out, which may come later.
  const noteLost = ({ target }) => {
    if (target instanceof HTMLScriptElement) globalThis.sparktrailLost = target.src;
  };
  addEventListener('error', noteLost, true);
  document.addEventListener('click', press, true);
  // A finger that comes down is the first word of a choice.
  document.addEventListener('pointerdown', ({ target }) => send(target.closest?.('#early [data-example]')), true);
  document.addEventListener('submit', (event) => early()?.contains(event.target) && event.preventDefault(), true);
  addEventListener('hashchange', leave);
  addEventListener('sparktrail-rescue', ({ detail }) => detail.cause === 'asked' || leave());

  // The program tells what of it stands: `start`, `trouble` or `map`. A refusal tells it that a map was painted before.
  addEventListener('sparktrail-stands', (event) => {
    const start = event.detail === 'start' && early() && chosen && document.querySelector('#app .start');
    const example = start && start.querySelector(`[data-example="${chosen}"]`);
    if (example) {
      isTold = true;
      pressAgain(start, atHead);
      example.click();
      return;
    }
    if (early()) {
      if (isPainted && event.detail === 'map') event.preventDefault();
      takeOver();
    }
    root.dataset.program = 'here';
  });

  if (isFirstVisit()) {
    root.dataset.early = language === 'en' ? 'here' : 'coming';
    return { painted: begin(), priority: 'low' };
  }
  parsed().then(leave);
  link('modulepreload', 'sparktrail.js');
  link('preload', 'sparktrail_bg.wasm', { as: 'fetch', type: 'application/wasm', crossOrigin: '' });
  return { painted: Promise.resolve(), priority: 'auto' };
})();
