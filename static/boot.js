// Loads the program; says so plainly when that fails.
import init from './sparktrail.js';

init({ module_or_path: new URL('sparktrail_bg.wasm', import.meta.url) }).catch((error) => {
  console.error(error);
  const note = document.getElementById('boot');
  if (note) {
    note.setAttribute('role', 'alert');
    note.textContent =
      'The page could not start. Load it again; if that does not help, the browser may be too old (it needs WebAssembly). Your saved maps are untouched.';
  }
});
