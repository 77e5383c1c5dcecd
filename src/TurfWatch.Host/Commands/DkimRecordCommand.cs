using System.CommandLine;
using TurfWatch.Mail.Signing;

namespace TurfWatch.Host.Commands;

/// <summary><c>turfwatch dkim-record</c>: what to publish so that receivers can check the signature.</summary>
internal static class DkimRecordCommand
{
    public static Command Create(Terminal terminal)
    {
        var command = new Command(
            "dkim-record",
            """
            Prints the DNS record that belongs to the key that messages are signed with (Mail:Dkim). Publish
            it before the service signs with the key. Prints nothing of the private key.

            Example: turfwatch dkim-record --config /etc/turfwatch/turfwatch.json
            """
        );
        command.Does(
            terminal,
            async (parse, _) =>
            {
                var options = parse.Settings(terminal, "Mail").Get<DkimOptions>();
                if (!options.Configured)
                {
                    throw new MisuseException(
                        $"{DkimOptions.Section} is not set, so messages are not signed here. To sign them, make a key "
                            + "('openssl genrsa -out dkim.pem 2048') and set Domain, Selector and PrivateKeyFile."
                    );
                }

                var key = DkimKey.Load(options.PrivateKeyFile);
                await terminal.Out.WriteLineAsync(
                    $"""
                    Publish this record in the DNS of {options.Domain}:

                    type   TXT
                    name   {DkimKey.RecordName(options)}
                    value  {key.RecordValue}

                    The same as a line of a zone file (a string of it may hold 255 characters, so it has two):

                    {key.ZoneLine(options)}
                    """
                );
                return CommandShell.Ok;
            }
        );
        return command;
    }
}
