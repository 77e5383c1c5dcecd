using System.Net.Sockets;
using TurfWatch.Store;

namespace TurfWatch.Host.Commands;

/// <summary>Turns the failures that a person can do something about into one sentence each.</summary>
internal static class FailureText
{
    /// <summary>The sentence, or null when the failure is a defect of the program and should be seen whole.</summary>
    public static string? For(Exception failure) =>
        failure switch
        {
            IOException e when IsDiskFull(e) =>
                $"The disk is full: {e.Message.TrimEnd('.')}. Nothing was lost; make room and run it again.",
            UnauthorizedAccessException e =>
                $"Not allowed: {e.Message.TrimEnd('.')}. Check who owns the file or folder.",
            IOException { InnerException: SocketException s } =>
                $"The network did not answer: {s.Message.TrimEnd('.')}.",
            SocketException e => $"The network did not answer: {e.Message.TrimEnd('.')}.",
            IOException e => $"Reading or writing failed: {e.Message.TrimEnd('.')}.",
            StoreException e => e.Message,
            InvalidDataException e => e.Message,
            HttpRequestException e => $"The network did not answer: {e.Message.TrimEnd('.')}.",
            _ => null,
        };

    // ENOSPC, as .NET passes it on.
    public static bool IsDiskFull(IOException e) => (e.HResult & 0xFFFF) is 28 or 0x70;
}
