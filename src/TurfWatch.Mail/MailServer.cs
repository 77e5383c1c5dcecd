using System.Net.Sockets;
using MailKit;
using MailKit.Security;

namespace TurfWatch.Mail;

/// <summary>What is the same of a connection to a relay and to a mailbox.</summary>
internal static class MailServer
{
    /// <summary>Connects, greets and logs in within a time; what was opened is closed again when that fails.</summary>
    /// <param name="client">The client, which is disposed of when it fails.</param>
    /// <param name="limit">The time for all of it.</param>
    /// <param name="open">Does it over the socket that it is given.</param>
    /// <param name="cancellationToken">Cancels.</param>
    /// <exception cref="TimeoutException">It took longer.</exception>
    public static async Task<T> OpenAsync<T>(
        IMailService client,
        TimeSpan limit,
        Func<Socket, CancellationToken, Task<T>> open,
        CancellationToken cancellationToken
    )
    {
        using var timed = CancellationTokenSource.CreateLinkedTokenSource(cancellationToken);
        timed.CancelAfter(limit);
        // MailKit leaves Nagle on; each message would then wait for a delayed acknowledgement.
        var socket = new Socket(SocketType.Stream, ProtocolType.Tcp) { NoDelay = true };
        try
        {
            return await open(socket, timed.Token);
        }
        catch (Exception e)
        {
            client.Dispose();
            socket.Dispose();
            if (e is OperationCanceledException && !cancellationToken.IsCancellationRequested)
            {
                throw new TimeoutException(
                    $"connection, greeting and login took longer than {limit}",
                    e
                );
            }

            throw;
        }
    }

    public static SecureSocketOptions ToMailKit(this MailSecurity security) =>
        security switch
        {
            MailSecurity.StartTls => SecureSocketOptions.StartTls,
            MailSecurity.Tls => SecureSocketOptions.SslOnConnect,
            _ => SecureSocketOptions.None,
        };

    /// <summary>The password, from the first line of its file if there is one.</summary>
    public static string Password(string given, string file) =>
        file.Length > 0 ? File.ReadLines(file).FirstOrDefault("") : given;
}
