import { CodedError, codedError, type ErrorCode, errorTable } from '../pipeline/errors.ts';

function isErrorCode(code: string): code is ErrorCode {
  return code in errorTable;
}

/** The error of another process or machine, as this one throws it: a known one keeps its code and its sentence. */
export function codedFromElsewhere({ code, message }: { code: string; message: string }): CodedError {
  return isErrorCode(code)
    ? new CodedError(code, message)
    : codedError('measuring-not-possible', { what: message });
}
