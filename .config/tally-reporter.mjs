// A vitest reporter that writes counts and the time of each file, hooks included, to the file named by TEST_TALLY_FILE.
import { writeFileSync } from 'node:fs';

export default class TallyReporter {
  /**
   * @param {readonly import('vitest/node').TestModule[]} modules
   * @param {readonly unknown[]} errors errors outside of tests
   */
  onTestRunEnd(modules, errors) {
    const counts = { passed: 0, failed: 0, skipped: 0, pending: 0 };
    const files = modules.map((module) => {
      const states = Array.from(module.children.allTests(), (test) => test.result().state);
      for (const state of states) counts[state] += 1;
      // A file that cannot be read, or whose hooks fail, may hold no failed test; it is a failure all the same.
      if (module.state() === 'failed' && !states.includes('failed')) counts.failed += 1;
      const { collectDuration, setupDuration, duration } = module.diagnostic();
      return {
        name: module.relativeModuleId,
        project: module.project.name,
        ms: collectDuration + setupDuration + duration,
      };
    });
    const { passed, failed, skipped, pending } = counts;
    writeFileSync(
      process.env.TEST_TALLY_FILE,
      JSON.stringify({ passed, failed: failed + errors.length, skipped: skipped + pending, files }),
    );
  }
}
