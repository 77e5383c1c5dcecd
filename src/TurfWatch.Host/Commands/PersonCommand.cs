using System.CommandLine;
using Microsoft.Extensions.Logging.Abstractions;
using TurfWatch.Core;
using TurfWatch.Host.Jobs;
using TurfWatch.Host.People;
using TurfWatch.Mail;
using TurfWatch.Store;

namespace TurfWatch.Host.Commands;

/// <summary>What the commands about one person share.</summary>
internal static class PersonCommand
{
    public static Option<string> EmailOption() =>
        new("--email")
        {
            Description = "The address.",
            HelpName = "ADDRESS",
            Required = true,
        };

    public static async Task<PersonalData> DataAsync(
        ParseResult parse,
        Terminal terminal,
        TurfStore store,
        CancellationToken cancel
    )
    {
        var settings = parse.Settings(terminal, StoreOptions.Section, "Mail");
        var options = settings.Get<StoreOptions>();
        return new(
            store,
            await SharedLinks.OpenAsync(options, store, cancel),
            MailRoute.Of(settings.Get<SmtpOptions>(), settings.Get<FolderOptions>(), options),
            terminal.Clock,
            NullLogger<PersonalData>.Instance
        );
    }

    /// <exception cref="MisuseException">The address is not on the list.</exception>
    public static async Task<Subscriber> FindAsync(
        TurfStore store,
        PersonalData data,
        string address,
        CancellationToken cancel
    )
    {
        var known = await store.Subscribers.FindAsync(address.Trim(), cancel);
        if (known is not null)
        {
            return known.Subscriber;
        }

        throw new MisuseException(
            await data.IsMarkedAsync(address, cancel)
                ? $"--email is '{address}', of which nothing is held but a mark that it must never be written to."
                : $"--email is '{address}', of which nothing is held; 'turfwatch subscribers list' shows who is on the list."
        );
    }
}
