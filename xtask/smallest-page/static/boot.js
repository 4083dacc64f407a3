// Loads the program and marks the moment at which its paragraph stands.
import init from './smallest-page.js';

await init({ module_or_path: new URL('smallest-page_bg.wasm', import.meta.url) });
performance.mark('first-map');
