import { enableCompileCache } from 'node:module';
import { join } from 'node:path';

// Sources with their types taken out are kept between starts, so that only the first one pays for it.
enableCompileCache(join(import.meta.dirname, '..', 'node_modules', '.cache', 'pourwright-start'));
await import('./starting.ts');
