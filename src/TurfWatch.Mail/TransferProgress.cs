using MailKit;

namespace TurfWatch.Mail;

/// <summary>
/// Tells how far a transaction came. An exception alone cannot say whether the message was sent: a
/// connection that drops before DATA and one that drops after the dot fail alike.
/// </summary>
internal sealed class TransferProgress : ITransferProgress
{
    /// <summary>The whole body was handed to the connection: from here on, no answer means nobody knows.</summary>
    public bool Complete { get; private set; }

    /// <summary>Called once, when the body is out.</summary>
    public Action? BodyOut { get; set; }

    public void Report(long bytesTransferred, long totalSize)
    {
        if (bytesTransferred >= totalSize && !Complete)
        {
            Complete = true;
            BodyOut?.Invoke();
        }
    }

    public void Report(long bytesTransferred)
    {
        // Without a total nothing can be told; MailKit knows the total of every message.
    }
}
