using MailKit;

namespace TurfWatch.Mail;

/// <summary>
/// Tells how far a transaction came. An exception alone cannot say whether the message was sent: a
/// connection that drops before DATA and one that drops after the dot fail alike.
/// </summary>
internal sealed class TransferProgress : ITransferProgress
{
    private bool _written;

    /// <summary>The whole body was handed to the connection: from here on, no answer means nobody knows.</summary>
    public bool Complete => _written && !Unsent();

    /// <summary>Whether something that was written, and with it the end of it, has not been sent.</summary>
    public Func<bool> Unsent { get; set; } = () => false;

    /// <summary>Called once, when the body is written.</summary>
    public Action? BodyOut { get; set; }

    public void Report(long bytesTransferred, long totalSize)
    {
        if (bytesTransferred >= totalSize && !_written)
        {
            _written = true;
            BodyOut?.Invoke();
        }
    }

    public void Report(long bytesTransferred)
    {
        // Without a total nothing can be told; MailKit knows the total of every message.
    }
}
