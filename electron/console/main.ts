import { Command, CommanderError, InvalidArgumentError, Option } from 'commander';
import { type Failure, WRONG } from './failure.ts';
import type { OnOverpour } from './pilot.ts';
import { addRecords } from './records-commands.ts';
import type { Run } from './run.ts';
import { processTalk, type Talk, troubleLines } from './talk.ts';
import { WrongInput } from './wrong-input.ts';

const RECOGNISE = 'recognise';
const COMMON_LINE = '9600 8N1';

function above(what: string, whole: boolean): (text: string) => number {
  return (text) => {
    const value = Number(text);
    if (!/^\d+(\.\d+)?$/.test(text) || value <= 0 || (whole && !Number.isSafeInteger(value)))
      throw new InvalidArgumentError(`${what} is a ${whole ? 'whole ' : ''}number above 0.`);
    return value;
  };
}

interface LinkFlags {
  readonly port: string;
  readonly shape: string;
  readonly line: string;
}

const withLink = (command: Command, port: string): Command =>
  command
    .requiredOption('--port <path>', port)
    .option('--shape <name>', 'line shape of the balance, or "recognise"', RECOGNISE)
    .option('--line <settings>', 'line settings of the balance', COMMON_LINE);

function addListen(program: Command, talk: Talk, run: Run): void {
  const command = program.command('listen').description('write what a balance sends, one JSON object a line');
  withLink(command, 'serial port')
    .option('--count <n>', 'end after so many readings', above('A count', true))
    .option('--seconds <s>', 'end after so many seconds', above('A time', false))
    .action((flags: LinkFlags & { count?: number; seconds?: number }) =>
      run(async () => {
        const { count = null, seconds = null } = flags;
        const { listen } = await import('./listen.ts');
        return listen({ ...flags, count, seconds }, talk);
      }),
    );
}

interface PlanFlags {
  readonly formula: string;
  readonly batch?: string;
  readonly volume?: string;
  readonly byStock?: boolean;
  readonly smallestSure?: boolean;
  readonly explain?: boolean;
  readonly database?: string;
  readonly bench?: string;
}

function addPlan(program: Command, talk: Talk, run: Run): void {
  program
    .command('plan')
    .description(
      'write the plan of a formula as JSON, for the balance of a workshop, or by the usual limits of a balance',
    )
    .requiredOption('--formula <file>', 'formula file')
    .addOption(
      new Option('--batch <mass>', 'another size, "30g"').conflicts(['volume', 'byStock', 'smallestSure']),
    )
    .addOption(
      new Option('--volume <ml>', 'what fills a bottle of so many mL, estimated').conflicts([
        'byStock',
        'smallestSure',
      ]),
    )
    .addOption(new Option('--by-stock', 'what the lot that runs out first allows').conflicts('smallestSure'))
    .option('--smallest-sure', 'the smallest batch in which every line is surely weighed')
    .option('--explain', 'add the workings of every step, and remedies')
    .option('--database <dir>', 'folder of a workshop: what its balance is known and measured to be counts')
    .option(
      '--bench <number>',
      'of that workshop, the bench whose balance it is; the first where none is named',
    )
    .action((flags: PlanFlags) =>
      run(async () => {
        const { explain = false, database = null, bench = null } = flags;
        const { planCommand, planSize } = await import('./plan.ts');
        return planCommand(flags.formula, { size: planSize(flags), explain, database, bench }, talk);
      }),
    );
}

interface PourFlags extends LinkFlags {
  readonly formula?: string;
  readonly resume?: boolean;
  readonly batch?: string;
  readonly onOverpour: OnOverpour;
  readonly tared?: boolean;
  readonly operator: string;
  readonly speed: number;
  readonly out: string;
}

function formulaFlag(flags: PourFlags): string | null {
  const wrong = (what: string, next: string) => new WrongInput(what, 'pour', next);
  if (flags.resume !== true) {
    if (flags.formula !== undefined) return flags.formula;
    throw wrong(
      'Neither --formula nor --resume is given.',
      'Name a formula file, or take up the interrupted batch.',
    );
  }
  if (flags.formula === undefined && flags.batch === undefined) return null;
  throw wrong(
    'A batch that is taken up keeps its formula and its size.',
    'Leave out --formula and --batch, or leave out --resume.',
  );
}

function addPour(program: Command, talk: Talk, run: Run): void {
  const command = program
    .command('pour')
    .description(
      'pour a formula by itself, events as JSON lines; the limits of the balance are the usual ones',
    );
  withLink(command, 'serial port, or "simulated"')
    .option('--formula <file>', 'formula file')
    .option('--resume', 'take up the batch of this database that was interrupted last')
    .option('--batch <mass>', 'another size, "30g"')
    .addOption(
      new Option(
        '--on-overpour <choice>',
        'correction to take; withdraw takes out as little as will do, else the least',
      )
        .choices(['least', 'exact', 'keep', 'withdraw'])
        .default('least'),
    )
    .option('--tared', 'the vessel is tared on the display: a settled zero is its gross')
    .option('--operator <name>', 'name for the record', 'not named')
    .option('--speed <factor>', "how fast the simulated balance's time runs", above('A speed', false), 1)
    .requiredOption('--out <dir>', 'folder of the database and the record')
    .action((flags: PourFlags) =>
      run(async () => {
        const { batch = null, tared = false } = flags;
        const formula = formulaFlag(flags);
        const { pour } = await import('./pour.ts');
        return pour({ ...flags, formula, batch, tared }, talk);
      }),
    );
}

interface DeclareFlags {
  readonly use: 'leave-on' | 'rinse-off';
  readonly dose: string;
}

function addDeclare(program: Command, talk: Talk, run: Run): void {
  program
    .command('declare')
    .description('write what a finished product of a record would declare; not a safety assessment')
    .argument('<file>', 'record, as-made.json')
    .addOption(
      new Option('--use <use>', 'whether the product stays on the skin')
        .choices(['leave-on', 'rinse-off'])
        .default('leave-on'),
    )
    .option('--dose <fraction>', 'mass fraction of the batch in the product, above 0 and at most 1', '1')
    .action((file: string, flags: DeclareFlags) =>
      run(async () => {
        const { declare } = await import('./declare.ts');
        return declare(file, flags, talk);
      }),
    );
}

function addVerify(program: Command, talk: Talk, run: Run): void {
  program
    .command('verify')
    .description('recompute a record, a batch folder, or every batch of a database, and say what differs')
    .argument('[file]', 'record, as-made.json, or batch folder, .zip')
    .option('--database <dir>', 'folder of a database: every batch of it')
    .action((file: string | undefined, { database }: { database?: string }) =>
      run(async () => {
        const { verify, verifyDatabase } = await import('./verify.ts');
        if ((file === undefined) === (database === undefined))
          throw new WrongInput(
            'Either a file or a database is verified.',
            'verify',
            'Name one file, or a folder with --database.',
          );
        return database === undefined ? verify(file ?? '', talk) : verifyDatabase(database, talk);
      }),
    );
}

function usage(error: CommanderError): Failure | null {
  if (error.exitCode === 0) return null;
  const what = error.message.replace(/^error: /, '').replaceAll('\n', ' ');
  const next = 'Run "npm run -s console -- --help", or --help after a command, for what can be asked.';
  if (error.code === 'commander.help')
    return { troubles: [{ what: 'No command is given.', where: 'console', next }], code: WRONG };
  return { troubles: [{ what, where: 'command line', next }], code: WRONG };
}

async function main(argv: readonly string[]): Promise<number> {
  const talk = processTalk();
  let code = 0;
  const run: Run = async (task) => {
    code = await task();
  };
  const program = new Command('console')
    .description('Pourwright without a window: for scripts and tests')
    .exitOverride()
    .configureOutput({ outputError: () => {}, writeErr: () => {} });
  for (const add of [addListen, addPlan, addPour, addVerify, addDeclare, addRecords]) add(program, talk, run);
  try {
    await program.parseAsync(argv, { from: 'user' });
    return code;
  } catch (cause) {
    const failed =
      cause instanceof CommanderError ? usage(cause) : (await import('./failures.ts')).failureOf(cause);
    if (failed === null) return 0;
    for (const trouble of failed.troubles) talk.say(troubleLines(trouble));
    return failed.code;
  }
}

process.exitCode = await main(process.argv.slice(2));
