// Sends for the program and runs it once what shows before it is painted; says so plainly when that fails.
const words = globalThis.sparktrailWords;

// In English until the words of the person's language are here, should they come later.
function say(text, role) {
  const note = document.getElementById('boot');
  if (!note) return;
  note.setAttribute('role', role);
  note.textContent = text;
  words?.then((words) => {
    if (note.textContent === text) note.textContent = words?.[text] || text;
  });
}

say('Getting the map ready…', 'status');

// The icon and what installing needs.
function dress() {
  document.querySelector('link[rel=icon]').href = 'icons/icon.svg';
  document.head.append(Object.assign(document.createElement('link'), { rel: 'manifest', href: 'manifest.webmanifest' }));
}

async function load() {
  // The page and its styles are here: the line is free, the processor is not. Whatever shows goes first.
  const wasm = fetch(new URL('sparktrail_bg.wasm', import.meta.url), { priority: globalThis.sparktrailEarly?.priority });
  // Should the other part fail, this one is not heard of as well.
  wasm.catch(() => {});
  await globalThis.sparktrailEarly?.painted;
  dress();
  // The way out stands before the program does; where it does not come, the program goes without.
  await import('./rescue.js').catch(() => {});
  const { default: init } = await import('./sparktrail.js');
  await init({ module_or_path: wasm });
}

load().catch((error) => {
  console.error(error);
  // Who hands over the maps says what happened; where that does not come either, it is said here. A program that broke
  // while it began has said so itself.
  const told = new CustomEvent('sparktrail-rescue', {
    cancelable: true,
    detail: { cause: 'load', reason: String(error) },
  });
  if (!dispatchEvent(told)) {
    document.getElementById('boot')?.remove();
    return;
  }
  say(
    'The page could not start. Load it again; if that does not help, the browser may be too old (it needs WebAssembly). Your saved maps are untouched.',
    'alert',
  );
});
