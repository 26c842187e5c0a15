// Lets this process or thread import TypeScript. The project's own tsconfig is named because tsx otherwise
// takes the one of the folder the command was called from, and with it another way to read TSX.
// A thread does not inherit the hooks of its process on Node 20.
import { fileURLToPath } from 'node:url';
import { register } from 'tsx/esm/api';

register({ tsconfig: fileURLToPath(new URL('../tsconfig.json', import.meta.url)) });
