#!/usr/bin/env node
import './typescript.js';

await import('./main.ts');
