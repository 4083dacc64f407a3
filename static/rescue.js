// Shows when the program broke or cannot start: hands over every map of this device as a file, and goes on.
// It stands on its own, so that it works when nothing else does.
(() => {
  const LIST = 'sparktrail/1/projects';
  const RECORDS = 'sparktrail/1/map/';
  const WORDS = {
    en: {
      broke: 'Something in the program broke',
      brokeText:
        'It had to stop. The maps on this device are kept; what you changed in the last second may be missing. Save them as a file first, then load the page again.',
      load: 'The program could not start',
      loadText:
        'A part of it did not arrive or does not run here. Look at the connection and load the page again. If that does not help, the browser may be too old: it needs WebAssembly. The maps on this device are kept.',
      asked: 'Your maps as files',
      askedText: 'Everything that is kept on this device.',
      again: 'Load the page again',
      all: 'Save all maps in one file',
      saved: 'Saved. To get the maps back, open this file on the first screen: sparktrail-backup.json',
      one: 'Save',
      close: 'Close',
      none: 'No maps are kept on this device.',
      closed: 'The browser keeps the maps of this page locked away just now. Allow it to store data for this page, then load it again.',
      unnamed: 'Without a name',
      unsaved: 'not kept on this device yet',
      damaged: 'damaged, saved just as it is',
      reason: 'What the program said',
    },
    de: {
      broke: 'Im Programm ist etwas kaputtgegangen',
      brokeText:
        'Es musste anhalten. Die Pläne auf diesem Gerät sind noch da; was in der letzten Sekunde geändert wurde, kann fehlen. Zuerst als Datei speichern, dann die Seite neu laden.',
      load: 'Das Programm konnte nicht starten',
      loadText:
        'Ein Teil davon ist nicht angekommen oder läuft hier nicht. Verbindung prüfen und die Seite neu laden. Hilft das nicht, ist der Browser vielleicht zu alt: Er braucht WebAssembly. Die Pläne auf diesem Gerät sind noch da.',
      asked: 'Pläne als Dateien',
      askedText: 'Alles, was auf diesem Gerät liegt.',
      again: 'Seite neu laden',
      all: 'Alle Pläne in einer Datei speichern',
      saved: 'Gespeichert. So kommen die Pläne zurück: diese Datei auf der Startseite öffnen: sparktrail-backup.json',
      one: 'Speichern',
      close: 'Schließen',
      none: 'Auf diesem Gerät liegen keine Pläne.',
      closed: 'Der Browser hält die Pläne dieser Seite gerade unter Verschluss. Dieser Seite das Speichern erlauben, dann neu laden.',
      unnamed: 'Ohne Namen',
      unsaved: 'noch nicht auf diesem Gerät gespeichert',
      damaged: 'beschädigt, wird gespeichert, wie es ist',
      reason: 'Was das Programm dazu sagt',
    },
  };

  // What a program that is half dead must no longer hear.
  const UNHEARD = ['beforeunload', 'pagehide', 'visibilitychange', 'storage', 'keydown', 'popstate', 'hashchange'];

  let dialog = null;
  let isBroken = false;
  // The open map, while the program has no room for it.
  let unsaved = null;

  function words() {
    return document.documentElement.lang.startsWith('de') ? WORDS.de : WORDS.en;
  }

  function parsed(text) {
    try {
      return JSON.parse(text);
    } catch {
      return undefined;
    }
  }

  // The map that has no place on this device, if there is one.
  function held() {
    return unsaved ? [{ id: '', changed: Date.now(), ...unsaved, whole: true, isUnsaved: true }] : [];
  }

  // Every map that was not thrown away, the one saved last first; throws where the browser keeps storage locked.
  function maps() {
    const newest = new Map();
    for (const key of Object.keys(localStorage)) {
      const [, id, count] = (key.startsWith(RECORDS) && /^(.+)\.(\d+)$/.exec(key.slice(RECORDS.length))) || [];
      if (id !== undefined && !(newest.get(id) >= Number(count))) newest.set(id, Number(count));
    }
    const list = parsed(localStorage.getItem(LIST) ?? 'null') ?? {};
    const [listed, thrown] = [list.projects, list.bin].map((of) => (Array.isArray(of) ? of.filter((entry) => entry?.id) : []));
    const known = new Set([...listed, ...thrown].map((entry) => entry.id));
    // Where the list lacks one, its record is all there is.
    const rest = [...newest.keys()].filter((id) => !known.has(id)).map((id) => ({ id }));
    const found = [...listed, ...rest].flatMap(({ id, title, changed, revision }) => {
      const text =
        localStorage.getItem(`${RECORDS}${id}.${revision}`) ?? localStorage.getItem(`${RECORDS}${id}.${newest.get(id)}`);
      if (text === null) return [];
      const map = parsed(text);
      const when = Number.isFinite(changed) ? changed : Number.parseInt(id, 10) || 0;
      return [{ id: String(id), changed: when, title: String(title ?? map?.title ?? ''), text, whole: map !== undefined }];
    });
    return [...held(), ...found];
  }

  // The same file that the program makes of all maps; the texts go into it letter by letter.
  function backup(found) {
    const text = JSON.stringify;
    const whole = found
      .filter((map) => map.whole)
      .map((map) => `{ "id": ${text(map.id)}, "changed": ${text(map.changed)}, "map": ${map.text} }`);
    const damaged = found
      .filter((map) => !map.whole)
      .map((map) => text({ title: map.title, text: map.text }));
    return `{ "format": "sparktrail-backup", "version": 1,\n"maps": [\n${whole.join(',\n')}\n],\n"damaged": [${damaged.join(',\n')}] }\n`;
  }

  function save(name, text) {
    const address = URL.createObjectURL(new Blob([text], { type: 'application/json' }));
    const link = element('a', { href: address, download: name });
    link.click();
    setTimeout(() => URL.revokeObjectURL(address), 10_000);
  }

  function fileName(title) {
    const letters = title.toLowerCase().match(/[\p{L}\p{N}]+/gu);
    return `${letters ? letters.join('-').slice(0, 60) : 'map'}.json`;
  }

  function element(name, facts = {}, ...inside) {
    const made = document.createElement(name);
    for (const [fact, value] of Object.entries(facts)) {
      if (typeof value === 'function') made.addEventListener(fact, value);
      else made.setAttribute(fact, value);
    }
    made.append(...inside);
    return made;
  }

  function button(label, weight, act, told) {
    const facts = { type: 'button', class: 'button', click: act };
    if (weight) facts['data-weight'] = weight;
    if (told) facts['aria-label'] = told;
    return element('button', facts, label);
  }

  function mapsHeld(say) {
    let found;
    try {
      found = maps();
    } catch {
      found = held();
      if (found.length === 0) return [element('p', {}, say.closed)];
    }
    if (found.length === 0) return [element('p', {}, say.none)];
    const done = element('p', { role: 'status' });
    const all = button(say.all, 'strong', () => {
      save('sparktrail-backup.json', backup(found));
      done.textContent = say.saved;
    });
    const rows = found.map((map) => {
      const title = map.title || say.unnamed;
      const note = map.isUnsaved ? say.unsaved : map.whole ? '' : say.damaged;
      const name = element('span', {}, title, ...(note ? [` (${note})`] : []));
      return element('li', {}, name, button(say.one, '', () => save(fileName(map.title), map.text), `${say.one}: ${title}`));
    });
    return [element('p', {}, all), done, element('ul', { class: 'rescue-maps' }, ...rows)];
  }

  // Nobody knows what a broken program would still write.
  function lock() {
    if (isBroken) return;
    isBroken = true;
    const refuse = () => {
      throw new DOMException('the program broke', 'InvalidStateError');
    };
    for (const change of ['setItem', 'removeItem', 'clear']) Storage.prototype[change] = refuse;
  }

  // `cause`: 'broke', 'load' or 'asked'.
  function show(cause, reason) {
    if (cause === 'broke') lock();
    if (dialog?.isConnected) {
      if (dialog.dataset.cause !== 'asked') return;
      dialog.remove();
    }
    const say = words();
    const isAsked = cause === 'asked';
    const acts = [button(say.again, '', () => location.reload())];
    if (isAsked) acts.push(button(say.close, '', () => dialog.remove()));
    dialog = element(
      'dialog',
      { class: 'sheet rescue', role: 'alertdialog', 'aria-labelledby': 'rescue-heading', 'data-cause': cause },
      element(
        'div',
        { class: 'sheet-body' },
        element('h1', { id: 'rescue-heading' }, say[cause]),
        element('p', {}, say[`${cause}Text`]),
        ...mapsHeld(say),
        element('p', { class: 'sheet-acts' }, ...acts),
        ...(reason ? [element('details', {}, element('summary', {}, say.reason), element('pre', {}, reason))] : []),
      ),
    );
    // What is behind it no longer works, so that there is no way round it.
    if (!isAsked) {
      dialog.addEventListener('cancel', (event) => event.preventDefault());
      dialog.addEventListener('close', () => dialog.isConnected && dialog.showModal());
    }
    document.body.append(dialog);
    dialog.showModal();
  }

  for (const event of UNHEARD) {
    addEventListener(event, (heard) => isBroken && heard.stopImmediatePropagation(), true);
  }
  // The program itself tells that it broke, that its first part did not come, or that somebody asks; it hears whether
  // that shows now.
  addEventListener('sparktrail-rescue', (told) => {
    show(told.detail.cause, told.detail.reason);
    told.preventDefault();
  });
  addEventListener('sparktrail-unsaved', ({ detail }) => {
    unsaved = detail;
  });
  // Whatever broke it without a word: a trap, or an error that went through it.
  const wentThrough = (error) =>
    error instanceof WebAssembly.RuntimeError || /wasm-function|\.wasm/.test(error?.stack ?? '');
  addEventListener('error', ({ error }) => {
    if (error && wentThrough(error)) show('broke', String(error));
  });
  addEventListener('unhandledrejection', ({ reason }) => {
    if (reason instanceof WebAssembly.RuntimeError) show('broke', String(reason));
  });
  // A script of the page that did not come at all; early.js noted it where that was known before.
  if (globalThis.sparktrailLost) show('load', globalThis.sparktrailLost);
  addEventListener(
    'error',
    ({ target }) => {
      if (target instanceof HTMLScriptElement) show('load', target.src);
    },
    true,
  );
})();
