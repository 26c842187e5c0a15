#!/usr/bin/env node
import { load } from './compiled.js';

await load('workers/main.ts');
