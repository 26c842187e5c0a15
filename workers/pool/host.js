import '../typescript.js';

await import('./host.ts');
