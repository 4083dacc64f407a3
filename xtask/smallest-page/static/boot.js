// Loads the program and marks the moment at which its paragraph is painted, as the app marks its first map.
import init from './smallest-page.js';

await init({ module_or_path: new URL('smallest-page_bg.wasm', import.meta.url) });
await new Promise(requestAnimationFrame);
await new Promise((done) => setTimeout(done, 0));
performance.mark('first-map');
