// Runs the measuring program, which leaves its rows in `measuredRows`.
import init from './sparktrail-measures.js';

init({ module_or_path: new URL('sparktrail-measures_bg.wasm', import.meta.url) }).catch((error) => {
  globalThis.measuringFailed = String(error);
});
