import { CodedError, codedError, type ErrorCode, errorTable } from '../../pipeline/errors.ts';

function isErrorCode(code: string | null): code is ErrorCode {
  return code !== null && code in errorTable;
}

/** The error of another process, as this process throws it: a coded one keeps its code and sentence. */
export function hopelessError({ code, message }: { code: string | null; message: string }): CodedError {
  return isErrorCode(code)
    ? new CodedError(code, message)
    : codedError('measuring-not-possible', { what: message });
}
