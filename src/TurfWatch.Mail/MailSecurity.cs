namespace TurfWatch.Mail;

/// <summary>How the connection to a mail server is protected.</summary>
public enum MailSecurity
{
    /// <summary>Plain greeting, then TLS before anything else; refused when the server does not offer it.</summary>
    StartTls,

    /// <summary>TLS from the first byte.</summary>
    Tls,

    /// <summary>No protection: for a server on this machine.</summary>
    None,
}
